import { randomInt } from 'node:crypto'
import { buildApp } from './app.ts'
import { openDatabase } from './database/connection.ts'
import { migrateToLatest } from './database/migrate.ts'
import { bookIsEmpty } from './people/group-store.ts'
import { readSettings, type Settings } from './settings.ts'

const settings = settingsOrExit()
const db = openDatabase(settings.DATABASE)
await migrateToLatest(db)
const claimCode = String(randomInt(100_000, 1_000_000))
const app = await buildApp({ db, now: () => new Date(), claimCode, log: true })
await app.listen({ host: settings.HOST, port: settings.PORT })
console.log(`Commonweir: open http://${settings.HOST}:${settings.PORT} (book: ${settings.DATABASE})`)
if (await bookIsEmpty(db))
  console.log(`The book is empty. To start it, the first page asks for this code: ${claimCode}`)
for (const signal of ['SIGINT', 'SIGTERM'] as const) {
  process.once(signal, async () => {
    await app.close()
    await db.destroy()
    process.exit(0)
  })
}

function settingsOrExit(): Settings {
  try {
    return readSettings(process.env)
  } catch (error) {
    console.error((error as Error).message)
    process.exit(1)
  }
}
