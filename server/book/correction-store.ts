import type { Database } from '../database/connection.ts'
import { PageError } from '../web/pages/errors.ts'

/** Asked once more while writing, so that two corrections sent at the same moment do not both count. */
export async function mustStand(db: Database, id: string): Promise<void> {
  const correction = await db.selectFrom('entry').select('id').where('correctsId', '=', id).executeTakeFirst()
  if (correction) throw new PageError(409, 'error.already-corrected')
}
