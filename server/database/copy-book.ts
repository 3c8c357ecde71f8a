import { existsSync } from 'node:fs'
import { endOfBook } from '../book/verify.ts'
import { runCommand } from './command.ts'
import { openBookFile } from './file/book-file.ts'
import { BookProblem } from './file/problem.ts'
import { writeCopy } from './file/write-copy.ts'

await runCommand(async ({ settings, say, words: [target] }) => {
  if (!target) throw new BookProblem('no-target')
  if (existsSync(target)) throw new BookProblem('target-there', { place: target })
  const db = openBookFile(settings.DATABASE)
  try {
    await writeCopy(db, target)
    const { entries, at, lastHash } = await endOfBook(db)
    say('file.copied', { place: target, entries, at, hash: lastHash })
  } finally {
    await db.destroy()
  }
})
