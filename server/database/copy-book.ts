import '../runtime.ts'

import { existsSync } from 'node:fs'
import SqliteDatabase from 'better-sqlite3'
import { readSettings } from '../settings.ts'

const target = process.argv[2]
const settings = readSettings(process.env)
if (!target || existsSync(target) || !existsSync(settings.DATABASE)) {
  console.error('Usage: npm run backup -- COPY.sqlite (the copy must not exist yet; DATABASE names the book).')
  process.exit(1)
}
// The backup call of SQLite copies a book that is in use without tearing it.
const book = new SqliteDatabase(settings.DATABASE, { readonly: true })
await book.backup(target)
book.close()
console.log(`Copied the book to ${target}. To restore it, stop the app and start it with DATABASE=${target}.`)
