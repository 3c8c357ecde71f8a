import { existsSync, rmSync } from 'node:fs'
import { InputError } from '../../domain/input-error.ts'
import { writeJoining } from '../book/joining/join.ts'
import { openOtherBook } from '../book/joining/other-book.ts'
import { listClashes } from '../book/merge/clash-store.ts'
import { mergeBooks } from '../book/merge/merge.ts'
import { broughtBy, rulingsAmong } from '../book/merge/rulings.ts'
import { readBook } from '../book/merge/whole-entry.ts'
import { endOfBook, verifyBook } from '../book/verify.ts'
import { readSettings } from '../settings.ts'
import { loadLocale } from '../web/figures/locale.ts'
import { COMMANDS } from '../web/words/commands.ts'
import { type Database, openDatabase } from './connection.ts'
import { readBookFile } from './file/book-file.ts'
import { problemOf } from './file/problem.ts'
import { migrateToLatest } from './migrate.ts'

const settings = readSettings(process.env)
const [file, target, signInName] = process.argv.slice(2)
const { t } = loadLocale(settings.BOOK_LANGUAGE)
if (!file || !target || !existsSync(file) || !existsSync(settings.DATABASE) || existsSync(target)) {
  console.error(
    `Usage: ${COMMANDS.runMerge}${COMMANDS.dashes} OTHER.sqlite JOINED.sqlite SIGN-IN-NAME (whose name stands under it; two books of the same group; DATABASE names the first, OTHER the second; JOINED must not exist yet).`,
  )
  process.exit(1)
}
const open: Database[] = []
try {
  const [one, other] = [await copyOf(settings.DATABASE), await copyOf(file)]
  const into = openDatabase(target)
  open.push(into)
  await migrateToLatest(into)
  const joined = await mergeBooks({ one, other, into })
  const { onlyOne, onlyOther, shared, entries } = joined
  const brought = broughtBy(await readBook(one), await readBook(other))
  const rulings = rulingsAmong(brought).length
  const joiner = signInName ? await joinerOf(one, signInName) : undefined
  if (rulings > 0 && !joiner)
    throw new Error(
      `The second book brings ${rulings} passwords, offices or second names, which rule only once two people here stand for them: name who joins, by a sign-in name of the first book.`,
    )
  if (joiner) {
    const pen = { writtenBy: joiner, writtenAt: new Date().toISOString() }
    await into.transaction().execute((trx) => writeJoining({ ...pen, trx }, joined, brought))
  }
  const { brokenAt } = await verifyBook(into)
  if (brokenAt) throw new Error(`The joined book does not verify, at entry ${brokenAt.id}`)
  console.log(`${shared} entries were in both books, ${onlyOne} only in the first, ${onlyOther} only in the second.`)
  console.log(`Joined in either order, all ${entries} end with ${joined.lastHash}.`)
  console.log(`The last hash of ${target} is ${(await endOfBook(into))?.lastHash}.`)
  if (rulings > 0)
    console.log(
      `${rulings} passwords, offices or second names of the second book rule nothing yet: another person than ${signInName} signs in here and stands for them, under “Two books joined”.`,
    )
  const clashes = await listClashes(into)
  for (const { kind, entries: told } of clashes) {
    const [first, second] = told.map(({ entry, writerName }) => `${entry.id} by ${writerName}, ${entry.writtenAt}`)
    console.log(`${t(`works.clash.${kind}`)}: first ${first}; then ${second}`)
  }
  console.log(
    `To settle: ${clashes.length}. Both books stay as they were: keep them. Start the app with DATABASE=${target}.`,
  )
} catch (error) {
  console.error(`${reasonOf(error)} Nothing was joined.`)
  process.exitCode = 1
} finally {
  await Promise.all(open.map((db) => db.destroy()))
  if (process.exitCode === 1) for (const end of ['', '-wal', '-shm']) rmSync(target + end, { force: true })
}

/** A copy in memory, so that the book itself is only read, also while an app has it open. */
async function copyOf(place: string): Promise<Database> {
  const copy = await openOtherBook(readBookFile(place), new Date())
  open.push(copy)
  return copy
}

/** Whoever signs in with a name in the first book. */
async function joinerOf(book: Database, signInName: string): Promise<string | undefined> {
  const row = await book.selectFrom('person').select('entryId').where('signInName', '=', signInName).executeTakeFirst()
  return row?.entryId
}

function reasonOf(error: unknown): string {
  const problem = problemOf(error, settings.DATABASE)
  if (problem) return t(`file.problem.${problem.code}`, problem.values)
  return error instanceof InputError ? t(`error.${error.code}`, error.values) : (error as Error).message
}
