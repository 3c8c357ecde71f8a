import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export async function addTurnStart(pen: Pen, start: { turnId: Id<'turn'>; meterM3: M3 }): Promise<string> {
  return appendEntry(pen, { kind: 'turn-start', forPersonId: null }, { turnStart: [start] })
}

/** What the meter showed when some turns began, as last written. */
export async function startsOf(db: Database, turnIds: readonly Id<'turn'>[]): Promise<ReadonlyMap<Id<'turn'>, M3>> {
  if (turnIds.length === 0) return new Map()
  const rows = await kept(db, 'starts of turns', turnIds, () =>
    db
      .selectFrom('turnStart')
      .innerJoin('entry', 'entry.id', 'turnStart.entryId')
      .select(['turnId', 'meterM3'])
      .where('turnId', 'in', turnIds as Id<'turn'>[])
      .where(standing('turnStart'))
      .orderBy(asWritten)
      .execute(),
  )
  return new Map(rows.map(({ turnId, meterM3 }) => [turnId, meterM3]))
}
