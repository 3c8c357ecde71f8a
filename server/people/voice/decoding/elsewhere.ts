import { extname } from 'node:path'
import { Worker } from 'node:worker_threads'
import { InputError } from '../../../../domain/input-error.ts'

/** A clip takes a fraction of a second, on the slowest board a few; own choice, no source. */
const PATIENCE_MS = 20_000
const MOST_HEAP_MB = 128

/**
 * A recording read as a clip on a thread of its own, which is ended when it takes too long: whoever else asks for a page is
 * answered meanwhile. Throws the InputErrors of `decodedClip`, `sound-unreadable` where the thread came to nothing.
 */
export function clipFromFile(bytes: Buffer): Promise<Buffer> {
  const worker = new Worker(new URL(`./decoding-thread${extname(import.meta.url)}`, import.meta.url), {
    workerData: new Uint8Array(bytes),
    resourceLimits: { maxOldGenerationSizeMb: MOST_HEAP_MB },
  })
  const gone = setTimeout(() => void worker.terminate(), PATIENCE_MS)
  return new Promise<Buffer>((resolve, reject) => {
    worker.on('message', (answer: { clip?: Uint8Array; code?: string; values?: Record<string, string | number> }) => {
      if (answer.clip) resolve(Buffer.from(answer.clip))
      else reject(new InputError(answer.code!, answer.values))
    })
    const failed = () => reject(new InputError('sound-unreadable'))
    worker.on('error', failed)
    worker.on('exit', failed)
  }).finally(() => {
    clearTimeout(gone)
    void worker.terminate()
  })
}
