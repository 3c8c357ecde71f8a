import { existsSync, renameSync, rmSync } from 'node:fs'
import { sql } from 'kysely'
import { putBackSecrets } from '../book/check/apart.ts'
import { inspectBook } from '../book/check/inspect.ts'
import { endOfBook } from '../book/verify.ts'
import { type Command, runCommand } from './command.ts'
import { type Database, openDatabase } from './connection.ts'
import { openBookFile, whatLies } from './file/book-file.ts'
import { holdAlone } from './file/one-program.ts'
import { BookProblem } from './file/problem.ts'
import { writeCopy } from './file/write-copy.ts'
import { migrateToLatest } from './migrate.ts'

/** A copy takes the place of the book: checked first, held against it, and the old file kept beside it. */
await runCommand(async (command) => {
  const { settings, say, fail, words } = command
  const [from] = words
  if (!from) throw new BookProblem('no-source')
  const copy = openBookFile(from)
  const giveBack = holdAlone(settings.DATABASE)
  try {
    const { entries, faults } = await inspectBook(copy)
    for (const { code, values } of faults) fail(`file.fault.${code}`, values)
    if (faults.length > 0) return fail('file.not-restored')
    if (entries === 0) return fail('file.nothing-written')
    await migrateToLatest(copy)
    const isThere = whatLies(settings.DATABASE) !== 'nothing'
    if (isThere) await compareWithOld(copy, command)
    const fresh = `${settings.DATABASE}-restored`
    rmSync(fresh, { force: true })
    await writeCopy(copy, fresh)
    const kept = isThere ? setOldAside(settings.DATABASE) : null
    renameSync(fresh, settings.DATABASE)
    const { at, lastHash } = await endOfBook(copy)
    say('file.restored', { place: settings.DATABASE, entries, at, hash: lastHash })
    if (kept) say('file.old-kept', { place: kept })
  } finally {
    await copy.destroy()
    giveBack()
  }
})

/** What the two do not share is said; what was left out of the copy is put back; the log of the old one is folded in. */
async function compareWithOld(copy: Database, { settings, say }: Command): Promise<void> {
  try {
    const old = openDatabase(settings.DATABASE)
    await migrateToLatest(old)
    const [here, there] = [await idsOf(old), await idsOf(copy)]
    const onlyHere = [...here].filter((id) => !there.has(id)).length
    const onlyThere = [...there].filter((id) => !here.has(id)).length
    say('file.differs', { here: onlyHere, there: onlyThere, at: (await endOfBook(old)).at })
    await putBackSecrets(copy, old)
    await sql`pragma user_version = 0`.execute(old)
    await sql`pragma wal_checkpoint(truncate)`.execute(old)
    await old.destroy()
  } catch {
    say('file.old-unread')
  }
}

/** The book in use gets another name, with its log where it still has one. */
function setOldAside(place: string): string {
  const stamp = new Date().toISOString().slice(0, 19).replaceAll(':', '')
  const aside = `${place.replace(/\.sqlite$/, '')}-replaced-${stamp}.sqlite`
  for (const end of ['', '-wal', '-shm']) if (existsSync(place + end)) renameSync(place + end, aside + end)
  return aside
}

async function idsOf(db: Database): Promise<Set<string>> {
  const rows = await db.selectFrom('entry').select('id').execute()
  return new Set(rows.map(({ id }) => id))
}
