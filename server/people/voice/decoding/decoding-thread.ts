import { parentPort, workerData } from 'node:worker_threads'
import { InputError } from '../../../../domain/input-error.ts'
import { decodedClip } from './decode.ts'

/** A thread that reads one recording and ends. What the file itself makes a decoder do is the file's fault, not the program's. */
try {
  parentPort!.postMessage({ clip: await decodedClip(workerData as Uint8Array) })
} catch (error) {
  const { code, values } = error instanceof InputError ? error : { code: 'sound-unreadable', values: {} }
  parentPort!.postMessage({ code, values })
}
