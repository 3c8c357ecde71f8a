import type { Database } from '../../database/connection.ts'

export interface DrawHistory {
  /** The id under which a draw was first written, for any of its later writings. */
  firstId(id: string): string
  /** Why the draw was last corrected. */
  lastReason(id: string): string
}

export function correctedDraws(db: Database) {
  return db
    .selectFrom('entry')
    .select(['id', 'correctsId', 'reason'])
    .where('kind', '=', 'abstraction')
    .where('correctsId', 'is not', null)
    .orderBy('seq')
}

/** Follows the corrections of draws back to their first writing, so that each is charged once however often it is mended. */
export async function drawHistory(db: Database): Promise<DrawHistory> {
  const corrections = await correctedDraws(db).execute()
  const firstIds = new Map<string, string>()
  const reasons = new Map<string, string>()
  const firstId = (id: string) => firstIds.get(id) ?? id
  // A correction is written after what it corrects, so the first writing of the older one is already known.
  for (const { id, correctsId, reason } of corrections) {
    firstIds.set(id, firstId(correctsId!))
    reasons.set(firstId(id), reason ?? '')
  }
  return { firstId, lastReason: (id) => reasons.get(firstId(id)) ?? '' }
}
