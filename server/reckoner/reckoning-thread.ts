import { parentPort } from 'node:worker_threads'
import { HEAVY, type HeavyName } from './heavy.ts'

/** A thread that does nothing but reckon, one thing after the other. */
parentPort!.on('message', ({ id, name, asked }: { id: number; name: HeavyName; asked: unknown }) => {
  try {
    parentPort!.postMessage({ id, answer: (HEAVY[name] as (asked: unknown) => unknown)(asked) })
  } catch (error) {
    parentPort!.postMessage({ id, error })
  }
})
