import { readSettings } from '../settings.ts'
import { openDatabase } from './connection.ts'
import { fileIsSound, verifyBook } from './verify.ts'

const settings = readSettings(process.env)
const db = openDatabase(settings.DATABASE)
const sound = await fileIsSound(db)
const check = await verifyBook(db)
await db.destroy()
if (!sound) console.error('The database file itself is damaged. Restore a copy.')
if (check.brokenAt) {
  console.error(
    `The book was changed outside the app: entry ${check.brokenAt.seq} (${check.brokenAt.kind}, ${check.brokenAt.id}) does not fit its hash.`,
  )
}
if (!sound || check.brokenAt) process.exit(1)
console.log(`The book is whole: ${check.entries} entries, each fits the one before it.`)
