import { readFileSync } from 'node:fs'

/**
 * So long requests on their way are waited for. Windows ends a program five seconds after its window was closed (CTRL_CLOSE_EVENT,
 * SPI_GETHUNGAPPTIMEOUT, from memory), and the log is to be folded in by then. Own choice, no source.
 */
const LONGEST_MS = process.platform === 'win32' ? 3_000 : 8_000
const LOOK_MS = 1_000
/** TERM, Ctrl-C, a closed terminal or window, Ctrl-Break. */
const SIGNALS = ['SIGTERM', 'SIGINT', 'SIGHUP', 'SIGBREAK'] as const

/**
 * Ends the program when it is told to: requests on their way are answered (`answer`), then whatever is open is closed. Started by
 * npm it also ends when npm does, so that no book goes on that nobody sees. Answers whether it was told to.
 */
export function stopWhenTold({ answer, close }: { answer(): Promise<unknown>; close(): Promise<void> }): () => boolean {
  let stopping = false
  const stop = async () => {
    if (stopping) return
    stopping = true
    await Promise.race([answer(), new Promise((done) => setTimeout(done, LONGEST_MS).unref())])
    await close()
    process.exit(0)
  }
  for (const signal of SIGNALS) process.on(signal, stop)
  const starters = startedBy()
  if (process.env.npm_lifecycle_event)
    setInterval(() => {
      if (startedBy() !== starters) void stop()
    }, LOOK_MS).unref()
  return () => stopping
}

/** The process that started this one and, where the machine tells (Linux), the one behind it: npm stands behind a shell. */
function startedBy(): string {
  const { ppid } = process
  try {
    // proc(5): after the name in brackets stand the state and the parent.
    const behind = readFileSync(`/proc/${ppid}/stat`, 'utf8').split(') ').at(-1)!.split(' ')[1]
    return `${ppid} ${behind}`
  } catch {
    return `${ppid}`
  }
}
