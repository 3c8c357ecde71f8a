import './runtime.ts'

import { randomInt } from 'node:crypto'
import { buildApp } from './app.ts'
import { openDatabase } from './database/connection.ts'
import { migrateToLatest } from './database/migrate.ts'
import { bookIsEmpty } from './people/group/store.ts'
import { readSettings, type Settings, startProblem } from './settings.ts'
import { loadLocale } from './web/figures/locale.ts'

const settings = settingsOrExit()
try {
  await start(settings)
} catch (error) {
  const problem = startProblem(error, settings)
  if (problem === null) throw error
  console.error(problem)
  process.exit(1)
}

async function start({ HOST, PORT, DATABASE, BOOK_LANGUAGE }: Settings): Promise<void> {
  const db = openDatabase(DATABASE)
  await migrateToLatest(db)
  const claimCode = String(randomInt(100_000, 1_000_000))
  const locale = loadLocale(BOOK_LANGUAGE)
  const app = await buildApp({ db, now: () => new Date(), claimCode, locale, log: true })
  await app.listen({ host: HOST, port: PORT })
  console.log(`Commonweir: open http://${HOST}:${PORT} (book: ${DATABASE})`)
  if (await bookIsEmpty(db))
    console.log(`The book is empty. To start it, the first page asks for this code: ${claimCode}`)
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    process.once(signal, async () => {
      await app.close()
      await db.destroy()
      process.exit(0)
    })
  }
}

function settingsOrExit(): Settings {
  try {
    return readSettings(process.env)
  } catch (error) {
    console.error((error as Error).message)
    process.exit(1)
  }
}
