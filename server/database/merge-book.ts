import { existsSync } from 'node:fs'
import { InputError } from '../../domain/input-error.ts'
import { readSettings } from '../settings.ts'
import { openDatabase } from './connection.ts'
import { mergeBook } from './merge.ts'
import { migrateToLatest } from './migrate.ts'
import { verifyBook } from './verify.ts'

const settings = readSettings(process.env)
const file = process.argv[2]
if (!file || !existsSync(file) || !existsSync(settings.DATABASE)) {
  console.error(
    'Usage: npm run merge -- OTHER.sqlite (a book of the same group; DATABASE names the book that takes it in).',
  )
  process.exit(1)
}
const [book, other] = [openDatabase(settings.DATABASE), openDatabase(file)]
try {
  for (const db of [book, other]) {
    await migrateToLatest(db)
    const { brokenAt } = await verifyBook(db)
    if (brokenAt) throw new Error(`A book was changed outside the app, at entry ${brokenAt.seq}. Nothing was merged.`)
  }
  const { added, shared, clashes } = await mergeBook(book, other)
  console.log(`${added} entries were taken in; ${shared} were in both books.`)
  for (const { kind, entryIds } of clashes) console.log(`Look at ${kind}: first ${entryIds[0]}, then ${entryIds[1]}`)
} catch (error) {
  const reason = error instanceof InputError ? 'That book belongs to another group' : String((error as Error).message)
  console.error(`${reason}. Nothing was merged.`)
  process.exitCode = 1
} finally {
  await Promise.all([book.destroy(), other.destroy()])
}
