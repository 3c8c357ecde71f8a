import { closeSync, fsyncSync, mkdtempSync, openSync, readFileSync, renameSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { sql } from 'kysely'
import { leaveOutSecrets } from '../../book/check/apart.ts'
import { type Database, openDatabase } from '../connection.ts'

/** A whole copy of a book as one file without a log; what breaks off on its way leaves nothing under the name. */
export async function writeCopy(db: Database, target: string): Promise<void> {
  const part = `${target}.part`
  rmSync(part, { force: true })
  try {
    closeSync(openSync(part, 'wx', 0o600))
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

/** The bytes of a copy that leaves the house: with all that is written, without what signs anybody in. */
export async function leavingCopy(db: Database): Promise<Buffer> {
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-copy-'))
  const [whole, leaving] = [join(folder, 'whole.sqlite'), join(folder, 'leaving.sqlite')]
  try {
    await writeCopy(db, whole)
    const copy = openDatabase(readFileSync(whole))
    await leaveOutSecrets(copy)
    await writeCopy(copy, leaving)
    await copy.destroy()
    return readFileSync(leaving)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
