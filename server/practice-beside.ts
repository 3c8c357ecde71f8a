import { type ChildProcess, fork } from 'node:child_process'
import { extname, join } from 'node:path'

/** The practice valley beside a book: how it stands, and its opening and closing. */
export interface Practice {
  /** Where it listens, as long as it is open. */
  port(): number | null
  state(): 'closed' | 'opening' | 'open' | 'failed'
  open(): void
  close(): void
}

/** Starts the practice in a process of its own, which is told nothing of the book's file; it ends with this one. */
export function practiceBeside(): Practice {
  const { DATABASE: _, ...environment } = process.env
  let child: ChildProcess | null = null
  let state: ReturnType<Practice['state']> = 'closed'
  let port: number | null = null
  const ended = () => {
    child = null
    port = null
    state = state === 'opening' ? 'failed' : 'closed'
  }
  return {
    port: () => port,
    state: () => state,
    open: () => {
      if (child) return
      state = 'opening'
      child = fork(join(import.meta.dirname, `practice${extname(import.meta.filename)}`), { env: environment })
      child.once('message', (listensOn) => {
        port = Number(listensOn)
        state = 'open'
      })
      child.once('exit', ended)
      child.once('error', ended)
    },
    close: () => {
      state = 'closed'
      child?.kill()
    },
  }
}
