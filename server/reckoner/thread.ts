import { setPriority } from 'node:os'
import { extname } from 'node:path'
import { parentPort, Worker } from 'node:worker_threads'

interface Waiting {
  resolve: (answer: unknown) => void
  reject: (error: unknown) => void
}

interface Question {
  id: number
  name: string
  asked: unknown
}

/** A thread beside the one that answers people, and what it can be asked. */
export class Thread {
  private readonly waiting = new Map<number, Waiting>()
  private readonly module: URL
  private readonly data: unknown
  private worker: Worker | null = null
  private last = 0

  /** Starts with the first question. The address is of its module without the ending, which is that of whoever starts it; `data` is told to it. */
  constructor(module: string, beside: string, data?: unknown) {
    this.data = data
    this.module = new URL(`${module}${extname(beside)}`, beside)
  }

  get runs(): boolean {
    return this.worker !== null
  }

  /** What it answers; rejects with what went wrong there, also where the thread itself ends: the next question starts another. */
  ask(name: string, asked: unknown): Promise<unknown> {
    return new Promise((resolve, reject) => {
      this.worker ??= this.started()
      this.last += 1
      this.waiting.set(this.last, { resolve, reject })
      this.worker.ref()
      this.worker.postMessage({ id: this.last, name, asked } satisfies Question)
    })
  }

  async end(): Promise<void> {
    await this.worker?.terminate()
  }

  /** While nothing is asked it keeps no program alive. */
  private started(): Worker {
    const worker = new Worker(this.module, { workerData: this.data })
    worker.on('message', ({ id, answer, error }: { id: number; answer?: unknown; error?: unknown }) => {
      const one = this.waiting.get(id)!
      this.waiting.delete(id)
      if (this.waiting.size === 0) worker.unref()
      if (error === undefined) one.resolve(answer)
      else one.reject(error)
    })
    const failed = (error: unknown) => {
      if (this.worker !== worker) return // One that broke ends after another has taken its place.
      for (const { reject } of this.waiting.values()) reject(error)
      this.waiting.clear()
      this.worker = null
    }
    worker.on('error', failed)
    worker.on('exit', (code) => failed(new Error(`a thread ended with ${code}`)))
    return worker
  }
}

/** Where both cores are wanted, whoever answers people goes first (setpriority(2): of Linux alone does it change one thread). Own choice, no source. */
const AFTER_PEOPLE = 10

/** On the thread itself: answers what is asked of it from now on. */
export function answerOnThread(answer: (name: string, asked: unknown) => unknown): void {
  if (process.platform === 'linux') setPriority(AFTER_PEOPLE)
  parentPort!.on('message', async ({ id, name, asked }: Question) => {
    try {
      parentPort!.postMessage({ id, answer: await answer(name, asked) })
    } catch (error) {
      parentPort!.postMessage({ id, error })
    }
  })
}
