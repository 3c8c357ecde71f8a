import { type ChildProcess, fork } from 'node:child_process'
import { extname, join } from 'node:path'

/** The practice valley beside a book: how it stands, and its opening and closing. */
export interface Practice {
  readonly port: number
  state(): 'closed' | 'opening' | 'open' | 'failed'
  open(): void
  close(): void
}

const LAST_PORT = 65_535

/** The port of the practice: the next one to that of the book. */
export function practicePort(port: number): number {
  return port < LAST_PORT ? port + 1 : port - 1
}

/** Starts the practice in a process of its own, which is told nothing of the book's file; it ends with this one. */
export function practiceBeside(port: number): Practice {
  const { DATABASE: _, ...environment } = process.env
  let child: ChildProcess | null = null
  let state: ReturnType<Practice['state']> = 'closed'
  const ended = () => {
    child = null
    state = state === 'opening' ? 'failed' : 'closed'
  }
  return {
    port: practicePort(port),
    state: () => state,
    open: () => {
      if (child) return
      state = 'opening'
      child = fork(join(import.meta.dirname, `practice${extname(import.meta.filename)}`), { env: environment })
      child.once('message', () => {
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
