import { extname } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { HeavyName } from './heavy.ts'
import { reckonBy } from './reckoner.ts'

interface Waiting {
  resolve: (answer: unknown) => void
  reject: (error: unknown) => void
}

/**
 * Everything heavy is reckoned on a thread of its own from now on, so that the one that answers serves everybody meanwhile;
 * gives what ends the thread and lets it be reckoned in place again.
 */
export function reckonElsewhere(): () => Promise<void> {
  const waiting = new Map<number, Waiting>()
  let worker: Worker | null = null
  let last = 0
  reckonBy(
    (name: HeavyName, asked: unknown) =>
      new Promise((resolve, reject) => {
        worker ??= startedThread(waiting, () => {
          worker = null
        })
        last += 1
        waiting.set(last, { resolve, reject })
        worker.ref()
        worker.postMessage({ id: last, name, asked })
      }),
  )
  return async () => {
    reckonBy(null)
    await worker?.terminate()
  }
}

/** A thread that ends takes along what it was asked; the next question starts another. While nothing is asked it keeps no program alive. */
function startedThread(waiting: Map<number, Waiting>, ended: () => void): Worker {
  const worker = new Worker(new URL(`./reckoning-thread${extname(import.meta.url)}`, import.meta.url))
  worker.on('message', ({ id, answer, error }: { id: number; answer?: unknown; error?: unknown }) => {
    const one = waiting.get(id)!
    waiting.delete(id)
    if (waiting.size === 0) worker.unref()
    if (error === undefined) one.resolve(answer)
    else one.reject(error)
  })
  const failed = (error: unknown) => {
    for (const { reject } of waiting.values()) reject(error)
    waiting.clear()
    ended()
  }
  worker.on('error', failed)
  worker.on('exit', (code) => failed(new Error(`the thread that reckons ended with ${code}`)))
  return worker
}
