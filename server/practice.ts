import './runtime.ts'

import { EXAMPLE_TIME_ZONE, loadExample, PASSWORD } from '../seed/load.ts'
import { buildApp } from './app.ts'
import { openDatabase } from './database/connection.ts'
import { migrateToLatest } from './database/migrate.ts'
import { hashPassword } from './people/password.ts'
import { practicePort } from './practice-beside.ts'
import { readSettings, startProblem } from './settings.ts'
import { loadLocale } from './web/figures/locale.ts'
import { localDate } from './web/pages/visit.ts'

/** Nobody practises so long without a page: then it ends by itself. Own choice, no source. */
const IDLE_HOURS = 4

/**
 * The example valley, to practise on: in the memory of a process of its own, which opens no file, so that it can touch no book. It
 * ends with the program that started it, or by itself when nobody practises, and everything written in it is gone.
 */
const settings = readSettings(process.env)
try {
  await practise()
} catch (error) {
  const problem = startProblem(error, { ...settings, PORT: practicePort(settings.PORT) })
  if (problem === null) throw error
  console.error(problem)
  process.exit(1)
}

async function practise(): Promise<void> {
  const { HOST, PORT, BOOK_LANGUAGE } = settings
  const db = openDatabase(':memory:')
  await migrateToLatest(db)
  const today = localDate(new Date(), EXAMPLE_TIME_ZONE)
  await loadExample(db, { today, passwordHash: await hashPassword(PASSWORD) })
  const app = await buildApp({ db, now: () => new Date(), claimCode: '', locale: loadLocale(BOOK_LANGUAGE), log: true })
  let idle = setTimeout(end, IDLE_HOURS * 3_600_000)
  app.addHook('onRequest', async () => {
    clearTimeout(idle)
    idle = setTimeout(end, IDLE_HOURS * 3_600_000)
  })
  const port = practicePort(PORT)
  await app.listen({ host: HOST, port })
  console.log(`Practice: open http://${HOST}:${port}/example-book (nothing of it is kept)`)
  process.send?.('open')
  process.on('disconnect', end)
}

function end(): void {
  process.exit(0)
}
