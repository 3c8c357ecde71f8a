import { closeSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs'
import SqliteDatabase from 'better-sqlite3'
import { sql } from 'kysely'
import type { Database } from '../connection.ts'

/** A whole copy of a book as one file without a log; what breaks off on its way leaves nothing under the name. */
export async function writeCopy(db: Database, target: string): Promise<void> {
  const part = `${target}.part`
  rmSync(part, { force: true })
  try {
    await sql`vacuum into ${sql.lit(part)}`.execute(db)
    closeCopy(part)
    renameSync(part, target)
  } finally {
    rmSync(part, { force: true })
  }
}

/** Nobody has the copy open, whatever stands in the book; it is on the disk before it gets its name. */
function closeCopy(part: string): void {
  const copy = new SqliteDatabase(part)
  copy.pragma('user_version = 0')
  copy.close()
  const file = openSync(part, 'r+')
  fsyncSync(file)
  closeSync(file)
}
