import { readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sql } from 'kysely'
import { newId } from '../../server/book/entries.ts'
import type { Database } from '../../server/database/connection.ts'

/** The bytes of a book's file, as they are when somebody copies it. */
export async function serialized(db: Database): Promise<Buffer> {
  const file = join(tmpdir(), `commonweir-copy-${newId()}.sqlite`)
  await sql`vacuum into ${sql.lit(file)}`.execute(db)
  const bytes = readFileSync(file)
  rmSync(file, { force: true })
  return bytes
}
