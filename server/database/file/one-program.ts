import { existsSync, realpathSync, rmSync } from 'node:fs'
import SqliteDatabase from 'better-sqlite3'
import { BookProblem } from './problem.ts'

/**
 * Holds a book for one program, until it gives it back or ends in whatever way: the lock is the machine's, so that nothing is left
 * behind by a power cut. Throws BookProblem `two-programs` where another one holds it.
 */
export function holdAlone(place: string, platform: string = process.platform): () => void {
  const file = `${existsSync(place) ? realpathSync(place) : place}-held`
  let lock: SqliteDatabase.Database | undefined
  try {
    lock = new SqliteDatabase(file, { timeout: 0 })
    lock.pragma('journal_mode = memory')
    lock.exec('begin exclusive')
  } catch (error) {
    lock?.close()
    const cause = String((error as { code?: unknown }).code)
    // The folder is there, or it had been said before: so nothing may be made in it.
    if (cause === 'SQLITE_CANTOPEN') throw new BookProblem('read-only', { place, cause })
    if (cause.startsWith('SQLITE_BUSY')) throw new BookProblem('two-programs', { place })
    throw error
  }
  const held = lock
  return () => giveBack(held, file, platform)
}

/** The file goes before the lock, so that nobody takes hold of one that goes; Windows removes no open file, but none that is held either. */
function giveBack(held: SqliteDatabase.Database, file: string, platform: string): void {
  if (platform !== 'win32') rmSync(file, { force: true })
  held.close()
  if (platform !== 'win32') return
  try {
    rmSync(file, { force: true })
  } catch {
    // Another start has taken hold of it meanwhile: then it is that one's.
  }
}
