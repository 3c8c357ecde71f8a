import { InputError } from '../../../domain/input-error.ts'
import { type Database, openDatabase } from '../../database/connection.ts'
import { withoutLog } from '../../database/file/book-file.ts'
import { migrateToLatest } from '../../database/migrate.ts'
import { verifyBook } from '../verify.ts'

/**
 * The book of another device from the bytes of its file, as a copy in memory brought up to date; whoever opens it closes it.
 * Throws InputError `merge-no-book` for a file of another kind or of a newer version, `merge-changed` for a chain that is broken.
 */
export async function openOtherBook(bytes: Buffer): Promise<Database> {
  const db = await openedOrRefused(withoutLog(bytes))
  const { brokenAt } = await verifyBook(db)
  if (!brokenAt) return db
  await db.destroy()
  throw new InputError('merge-changed', { entry: brokenAt.id })
}

async function openedOrRefused(copy: Buffer): Promise<Database> {
  let db: Database | undefined
  try {
    db = openDatabase(copy)
    await migrateToLatest(db)
    return db
  } catch {
    await db?.destroy()
    throw new InputError('merge-no-book')
  }
}
