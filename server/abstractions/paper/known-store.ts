import type { Instant } from '../../../domain/calendar.ts'
import type { M3 } from '../../../domain/units.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { moreOf } from '../draw/more-store.ts'
import { listAbstractions } from '../draw/store.ts'
import type { Place } from '../place/store.ts'

export interface KnownDraw {
  id: string
  volumeM3: M3
  happenedAt: Instant
  slipNo: number | null
}

interface ReadOnPaper {
  onDate: string
  opening: number | null
  closing: number | null
}

/**
 * The draw of the day with the same two readings of the same meter: one meter shows a reading only once, so that it is the same
 * water, whether it came from the phone, from the log or from a slip. Without two readings nobody can tell.
 */
export async function drawReadAlike(
  db: Database,
  { onDate, opening, closing }: ReadOnPaper,
  { pump }: Place,
): Promise<KnownDraw | null> {
  if (pump === null || opening === null || closing === null || opening === closing) return null
  const draws = await listAbstractions(db, { fromOn: onDate, toOn: onDate })
  const same = draws.find((draw) => draw.pumpId === pump.id && draw.openingM3 === opening && draw.closingM3 === closing)
  return same ? { ...same, slipNo: (await moreOf(db, [same.id])).get(same.id)!.slipNo } : null
}

/** A slip that came back for a draw that is in the book already. */
export async function addSlipOfDraw(pen: Pen, { id, happenedAt }: KnownDraw, slipNo: number): Promise<string> {
  return appendEntry(pen, { kind: 'draw-slip', happenedAt }, { drawSlip: [{ subjectId: id, slipNo }] })
}

/** The draw that carries a slip's number, wherever it was written: with the draw, or when the slip came back for it. */
export async function drawOfSlip(db: Database, slipNo: number): Promise<{ id: string; onDate: string } | undefined> {
  const written = db.selectFrom('drawNote').select('entryId').where('slipNo', '=', slipNo)
  const back = db.selectFrom('drawSlip').select('subjectId').where('slipNo', '=', slipNo)
  return db
    .selectFrom('abstraction')
    .select(['entryId as id', 'onDate'])
    .where((is) => is.or([is('entryId', 'in', written), is('entryId', 'in', back)]))
    .where(standing('abstraction'))
    .executeTakeFirst()
}
