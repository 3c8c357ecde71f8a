import { inspectBook } from '../book/check/inspect.ts'
import { isPostgresAddress } from '../settings.ts'
import { runCommand } from './command.ts'
import { openBookFile } from './file/book-file.ts'
import { BookProblem } from './file/problem.ts'
import { migrateToLatest } from './migrate.ts'
import { carryBook } from './postgres/carry.ts'
import { openHeldBook } from './postgres/open-book.ts'

/** A book of one file goes to PostgreSQL: looked at first, copied in one piece, and looked at there again. */
await runCommand(async ({ say, fail, words: [file, place] }) => {
  if (!file || !place || !isPostgresAddress(place)) throw new BookProblem('no-carry')
  const from = openBookFile(file)
  try {
    const { entries, faults } = await inspectBook(from)
    for (const { code, values } of faults) fail(`file.fault.${code}`, values)
    if (faults.length > 0) return fail('file.not-carried')
    if (entries === 0) return fail('file.nothing-written')
    await migrateToLatest(from)
    const to = await openHeldBook(place)
    try {
      const { lastHash, at, accounts } = await carryBook(from, to.db)
      say('file.carried', { entries, at, hash: lastHash, accounts })
      if (!to.hasWriter) say('file.no-writer')
    } finally {
      await to.close()
    }
  } finally {
    await from.destroy()
  }
})
