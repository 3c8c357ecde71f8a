import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export async function setOwner(
  pen: Pen,
  { plotId, ownerId, fromOn }: { plotId: Id<'plot'>; ownerId: Id<'person'> | null; fromOn: CalendarDate },
): Promise<string> {
  return appendEntry(pen, { kind: 'plot-owner' }, { plotOwner: [{ plotId, ownerId, fromOn }] })
}

/** Who owns a plot that is let, on a day; null where whoever holds it does, or nobody wrote it. */
export async function ownerOn(
  db: Database,
  plotId: Id<'plot'>,
  on: CalendarDate,
): Promise<{ id: Id<'person'>; name: string } | null> {
  const rows = await db
    .selectFrom('plotOwner')
    .innerJoin('entry', 'entry.id', 'plotOwner.entryId')
    .leftJoin('person', 'person.entryId', 'plotOwner.ownerId')
    .select(['fromOn', 'ownerId', 'person.name', 'entry.seq'])
    .where('plotId', '=', plotId)
    .where(standing('plotOwner'))
    .execute()
  const last = inForce(rows, on)
  return last?.ownerId ? { id: last.ownerId, name: last.name! } : null
}

export async function setArrearsRule(
  pen: Pen,
  rule: { fromOn: CalendarDate; follows: 'person' | 'plot' },
  minute: string | null,
): Promise<string> {
  const { fromOn, follows } = rule
  return appendEntry(pen, { kind: 'arrears-rule' }, { arrearsRule: [{ fromOn, follows }], ...restingOn(minute) })
}

/** Whether what a tenant leaves unpaid stays with the person or is answered for by the owner of the plot; null without a rule. */
export async function arrearsRuleOn(
  db: Database,
  on: CalendarDate,
): Promise<{ follows: 'person' | 'plot'; fromOn: CalendarDate } | null> {
  const rows = await db
    .selectFrom('arrearsRule')
    .innerJoin('entry', 'entry.id', 'arrearsRule.entryId')
    .select(['fromOn', 'follows', 'entry.seq'])
    .where(standing('arrearsRule'))
    .execute()
  return inForce(rows, on) ?? null
}
