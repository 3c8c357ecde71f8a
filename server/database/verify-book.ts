import '../runtime.ts'

import { outsideTheChain } from '../book/outside-chain.ts'
import { endOfBook, fileIsSound, findHash, verifyBook } from '../book/verify.ts'
import { readSettings } from '../settings.ts'
import { openDatabase } from './connection.ts'

const settings = readSettings(process.env)
const at = process.argv.indexOf('--last')
const noted = at < 0 ? null : process.argv.slice(at + 1).join('')
const db = openDatabase(settings.DATABASE)
const sound = await fileIsSound(db)
const check = await verifyBook(db)
const end = await endOfBook(db)
const outside = await outsideTheChain(db)
const found = noted === null ? null : await findHash(db, noted)
await db.destroy()
if (!sound) console.error('The database file itself is damaged. Restore a copy.')
if (check.brokenAt) {
  console.error(
    `The book was changed outside the app: entry ${check.brokenAt.seq} (${check.brokenAt.kind}, ${check.brokenAt.id}) does not fit its hash.`,
  )
}
if (!sound || check.brokenAt) process.exit(1)
console.log(`The book is whole: ${check.entries} entries, each fits the one before it.`)
console.log('These tables are outside its chain, so nothing here proves them:')
for (const { table, why } of outside)
  console.log(`  ${table} (${why ?? 'no table of this program: somebody else made it'})`)
console.log(`Its last hash is ${end.lastHash}.`)
if (found?.at === 'nowhere') {
  console.error(
    `The hash ${noted} is not in this book: its end was cut off or written anew since the hash was noted, or it belongs to another book.`,
  )
  process.exitCode = 1
}
if (found?.at === 'here') {
  console.log(
    `The noted hash is entry ${found.entry}, written ${found.writtenAt}; ${found.later} entries came after it.`,
  )
}
if (found?.at === 'joined') {
  console.log(
    `The noted hash was entry ${found.entry} of a book that was joined into this one, written ${found.writtenAt}.`,
  )
}
