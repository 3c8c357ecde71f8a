import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

const positionRows = readTogether('turns', (db) =>
  db
    .selectFrom('linePosition')
    .innerJoin('entry', 'entry.id', 'linePosition.entryId')
    .select(['plotId as thing', 'fromOn', 'seq', 'position as value'])
    .where(standing('linePosition')),
)

/** The place of each plot on its line, as it holds on a day: 1 next to the pump. */
export async function linePositionsOn(db: Database, on: string): Promise<Record<string, number>> {
  const rows = await positionRows(db)
  return valuesOn(rows, on)
}

export async function setLinePosition(
  pen: Pen,
  { plotId, fromOn, position }: { plotId: Id<'plot'>; fromOn: CalendarDate; position: number },
): Promise<string> {
  return appendEntry(pen, { kind: 'line-position' }, { linePosition: [{ plotId, fromOn, position }] })
}

const fillingRows = readTogether('turns', (db) =>
  db
    .selectFrom('outletFilling')
    .innerJoin('entry', 'entry.id', 'outletFilling.entryId')
    .select(['outletId as thing', 'fromOn', 'seq', 'minutes as value'])
    .where(standing('outletFilling')),
)

/** Minutes until each outlet's line has filled. */
export async function fillingMinutesOn(db: Database, on: string): Promise<Record<string, number>> {
  const rows = await fillingRows(db)
  return valuesOn(rows, on)
}

export async function setFillingMinutes(
  pen: Pen,
  { outletId, fromOn, minutes }: { outletId: Id<'outlet'>; fromOn: CalendarDate; minutes: number },
): Promise<string> {
  return appendEntry(pen, { kind: 'outlet-filling' }, { outletFilling: [{ outletId, fromOn, minutes }] })
}

const pairRows = readTogether('turns', (db) =>
  db
    .selectFrom('outletPair')
    .innerJoin('entry', 'entry.id', 'outletPair.entryId')
    .select(['outletAId', 'outletBId', 'fromOn', 'seq', 'together'])
    .where(standing('outletPair')),
)

/** Pairs of outlets that must not be open at once. */
export async function notTogetherOn(db: Database, on: string): Promise<[string, string][]> {
  const rows = await pairRows(db)
  const pairs = rows.map((row) => ({ ...row, thing: [row.outletAId, row.outletBId].sort().join(' ') }))
  return [...group(pairs, (pair) => pair.thing).values()].flatMap((own): [string, string][] => {
    const pair = inForce(own, on)
    return pair && pair.together === 0 ? [[pair.outletAId, pair.outletBId]] : []
  })
}

export async function setOutletPair(
  pen: Pen,
  { outletIds, fromOn, together }: { outletIds: [string, string]; fromOn: CalendarDate; together: boolean },
): Promise<string> {
  const [outletAId, outletBId] = outletIds
  const row = { outletAId, outletBId, fromOn, together: together ? 1 : 0 }
  return appendEntry(pen, { kind: 'outlet-pair' }, { outletPair: [row] })
}

function valuesOn(
  rows: readonly { thing: string; fromOn: CalendarDate; seq: number; value: number }[],
  on: string,
): Record<string, number> {
  const values: Record<string, number> = {}
  for (const [thing, own] of group(rows, (row) => row.thing)) {
    const row = inForce(own, on)
    if (row) values[thing] = row.value
  }
  return values
}
