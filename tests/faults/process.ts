import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { projectFolder } from '../../server/project-folder.ts'
import { programCommand, programEnvironment } from '../support/program.ts'

export interface Running {
  port: number
  pid: number
  /** Waits until the terminal shows these words, and gives them or their first group. */
  read(words: RegExp): Promise<string>
  /** Ends the process as a power cut would: no handler runs. */
  kill(): Promise<void>
  /** Tells it to stop, and gives what the terminal showed until it ended. */
  stop(signal: NodeJS.Signals): Promise<{ code: number | null; shown: string }>
}

export function temporaryFolder(): { path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'commonweir-faults-'))
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) }
}

interface Start {
  port?: number
  mostBlocks?: number
  more?: Record<string, string>
  /** What is waited for where it is not the word that it listens. */
  until?: () => boolean
}

/** The real server in a process of its own, once it says that it listens. */
export async function startServer(database: string, { port, mostBlocks, more, until }: Start = {}): Promise<Running> {
  const at = port ?? (await freePort())
  const { child, shown } = launch({ DATABASE: database, PORT: String(at), NEW_BOOK: 'yes', ...more }, mostBlocks)
  const read = async (words: RegExp): Promise<string> => {
    for (;;) {
      const found = words.exec(shown())
      if (found) return found[1] ?? found[0]
      if (child.exitCode !== null) throw new Error(`the server ended with these words: ${shown()}`)
      await new Promise((resolve) => setTimeout(resolve, 20))
    }
  }
  if (until) while (!until()) await new Promise((resolve) => setTimeout(resolve, 1))
  else await read(/Commonweir: open/)
  return {
    read,
    port: at,
    pid: child.pid!,
    kill: async () => {
      if (child.exitCode !== null || child.signalCode !== null) return
      const ended = once(child, 'exit')
      child.kill('SIGKILL')
      await ended
    },
    stop: async (signal) => {
      const ended = once(child, 'close')
      child.kill(signal)
      const [code] = (await ended) as [number | null]
      return { code, shown: shown() }
    },
  }
}

/** A start that is expected to end by itself. */
export async function failedStart(environment: Record<string, string>, mostBlocks?: number) {
  const { child, shown } = launch({ PORT: String(await freePort()), NEW_BOOK: 'yes', ...environment }, mostBlocks)
  const [code] = (await once(child, 'close')) as [number | null]
  return { code, shown: shown() }
}

/** `mostBlocks` of 512 bytes is the largest file that the process may write, which is how a disk without room is played. */
function launch(environment: Record<string, string>, mostBlocks?: number): { child: ChildProcess; shown(): string } {
  const command = programCommand('main')
  const limited = ['sh', '-c', `trap '' XFSZ; ulimit -f ${mostBlocks}; exec "$@"`, 'sh', ...command]
  const [program, ...rest] = mostBlocks === undefined ? command : limited
  const child = spawn(program!, rest, { cwd: projectFolder(), env: programEnvironment(environment) })
  let text = ''
  for (const stream of [child.stdout!, child.stderr!]) {
    stream.on('data', (part: Buffer) => {
      text += part.toString()
    })
  }
  return { child, shown: () => text }
}

export async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1')
  await once(server, 'listening')
  const { port } = server.address() as { port: number }
  server.close()
  await once(server, 'close')
  return port
}
