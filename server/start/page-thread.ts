import { parentPort, workerData } from 'node:worker_threads'
import { reckonByStarter } from '../reckoner/elsewhere.ts'
import { answerOnThread } from '../reckoner/thread.ts'
import { closeAll, PAGES_THERE, type PagesThere } from './pages-there.ts'

const { idleMs } = workerData as { idleMs: number }

/**
 * A thread that makes the pages for which much is read; what is reckoned long for them is handed on again. Where nobody asks for long it ends
 * by itself, and what it kept goes with it.
 */
reckonByStarter()
let idle: NodeJS.Timeout | undefined
answerOnThread(async (name, asked) => {
  clearTimeout(idle)
  try {
    return await (PAGES_THERE[name as keyof PagesThere] as (asked: unknown) => unknown)(asked)
  } finally {
    clearTimeout(idle)
    idle = setTimeout(() => closeAll().finally(() => parentPort!.close()), idleMs)
  }
})
