import { setPriority } from 'node:os'
import { extname } from 'node:path'
import { deserialize, serialize } from 'node:v8'
import { type MessagePort, parentPort, Worker } from 'node:worker_threads'

/** What goes from thread to thread is written out, so that whoever only passes it on need not read it. */
type Written = Uint8Array<ArrayBuffer>

interface Question {
  id: number
  name: string
  asked: Written
}

interface Answer {
  id: number
  answer?: Written
  error?: unknown
}

interface Waiting {
  resolve: (answer: Written) => void
  reject: (error: unknown) => void
}

/** The questions of one side that wait for the other. */
class Asked {
  private readonly waiting = new Map<number, Waiting>()
  private last = 0

  get isNone(): boolean {
    return this.waiting.size === 0
  }

  ask(port: Pick<MessagePort, 'postMessage'>, name: string, asked: Written): Promise<Written> {
    return new Promise((resolve, reject) => {
      this.last += 1
      this.waiting.set(this.last, { resolve, reject })
      port.postMessage({ id: this.last, name, asked } satisfies Question, [asked.buffer])
    })
  }

  take({ id, answer, error }: Answer): void {
    const { resolve, reject } = this.waiting.get(id)!
    this.waiting.delete(id)
    if (answer) resolve(answer)
    else reject(error)
  }

  failAll(error: unknown): void {
    for (const { reject } of this.waiting.values()) reject(error)
    this.waiting.clear()
  }
}

type AnswerTo = (name: string, asked: Written) => Promise<Written>

async function answer(port: Pick<MessagePort, 'postMessage'>, { id, name, asked }: Question, answerTo: AnswerTo) {
  try {
    const answer = await answerTo(name, asked)
    port.postMessage({ id, answer } satisfies Answer, [answer.buffer])
  } catch (error) {
    port.postMessage({ id, error } satisfies Answer)
  }
}

interface Standing {
  /** Told to the thread. */
  data?: unknown
  /** Answers what the thread itself asks (`askStarter`). */
  helper?: Thread
}

/** A thread beside the one that answers people, and what it can be asked. */
export class Thread {
  private readonly asked = new Asked()
  private readonly module: URL
  private readonly standing: Standing
  private worker: Worker | null = null

  /** Starts with the first question. The address is of its module without the ending, which is that of whoever starts it. */
  constructor(module: string, beside: string, standing: Standing = {}) {
    this.standing = standing
    this.module = new URL(`${module}${extname(beside)}`, beside)
  }

  get runs(): boolean {
    return this.worker !== null
  }

  /** What it answers; rejects with what went wrong there, also where the thread itself ends: the next question starts another. */
  async ask(name: string, asked: unknown): Promise<unknown> {
    return deserialize(await this.pass(name, written(asked)))
  }

  async end(): Promise<void> {
    await this.worker?.terminate()
  }

  private pass(name: string, asked: Written): Promise<Written> {
    this.worker ??= this.started()
    this.worker.ref()
    return this.asked.ask(this.worker, name, asked)
  }

  /** While nothing is asked it keeps no program alive. */
  private started(): Worker {
    const { data, helper } = this.standing
    const worker = new Worker(this.module, { workerData: data })
    worker.on('message', (message: Question | Answer) => {
      if ('name' in message) return void answer(worker, message, (name, asked) => helper!.pass(name, asked))
      this.asked.take(message)
      if (this.asked.isNone) worker.unref()
    })
    const failed = (error: unknown) => {
      if (this.worker !== worker) return // One that broke ends after another has taken its place.
      this.asked.failAll(error)
      this.worker = null
    }
    worker.on('error', failed)
    worker.on('exit', (code) => failed(new Error(`a thread ended with ${code}`)))
    return worker
  }
}

/** Where both cores are wanted, whoever answers people goes first (setpriority(2): of Linux alone does it change one thread). Own choice, no source. */
const AFTER_PEOPLE = 10

/** Of this thread, where it is one that another started. */
const own = new Asked()

/** On the thread itself: answers what is asked of it from now on. */
export function answerOnThread(answerTo: (name: string, asked: unknown) => unknown): void {
  if (process.platform === 'linux') setPriority(AFTER_PEOPLE)
  parentPort!.on('message', (message: Question | Answer) => {
    if ('name' in message)
      return void answer(parentPort!, message, async (name, asked) => written(await answerTo(name, deserialize(asked))))
    own.take(message)
  })
}

/** On the thread itself: asks the helper of whoever started it. */
export async function askStarter(name: string, asked: unknown): Promise<unknown> {
  return deserialize(await own.ask(parentPort!, name, written(asked)))
}

const written = (value: unknown) => serialize(value) as Written
