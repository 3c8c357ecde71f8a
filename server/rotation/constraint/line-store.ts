import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The place of each plot on its line, as it holds on a day: 1 next to the pump. */
export async function linePositionsOn(db: Database, on: string): Promise<Record<string, number>> {
  const rows = await db
    .selectFrom('line_position')
    .innerJoin('entry', 'entry.id', 'line_position.entry_id')
    .select(['plot_id as thing', 'from_on', 'seq', 'position as value'])
    .where(standing('line_position'))
    .execute()
  return valuesOn(rows, on)
}

export async function setLinePosition(
  pen: Pen,
  { plotId, fromOn, position }: { plotId: string; fromOn: string; position: number },
): Promise<string> {
  return appendEntry(
    pen,
    { kind: 'line-position' },
    { line_position: [{ plot_id: plotId, from_on: fromOn, position }] },
  )
}

/** Minutes until each outlet's line has filled. */
export async function fillingMinutesOn(db: Database, on: string): Promise<Record<string, number>> {
  const rows = await db
    .selectFrom('outlet_filling')
    .innerJoin('entry', 'entry.id', 'outlet_filling.entry_id')
    .select(['outlet_id as thing', 'from_on', 'seq', 'minutes as value'])
    .where(standing('outlet_filling'))
    .execute()
  return valuesOn(rows, on)
}

export async function setFillingMinutes(
  pen: Pen,
  { outletId, fromOn, minutes }: { outletId: string; fromOn: string; minutes: number },
): Promise<string> {
  return appendEntry(
    pen,
    { kind: 'outlet-filling' },
    { outlet_filling: [{ outlet_id: outletId, from_on: fromOn, minutes }] },
  )
}

/** Pairs of outlets that must not be open at once. */
export async function notTogetherOn(db: Database, on: string): Promise<[string, string][]> {
  const rows = await db
    .selectFrom('outlet_pair')
    .innerJoin('entry', 'entry.id', 'outlet_pair.entry_id')
    .select(['outlet_a_id', 'outlet_b_id', 'from_on', 'seq', 'together'])
    .where(standing('outlet_pair'))
    .execute()
  const pairs = rows.map((row) => ({ ...row, thing: [row.outlet_a_id, row.outlet_b_id].sort().join(' ') }))
  return [...new Set(pairs.map((pair) => pair.thing))].flatMap((thing): [string, string][] => {
    const pair = inForce(
      pairs.filter((one) => one.thing === thing),
      on,
    )
    return pair && pair.together === 0 ? [[pair.outlet_a_id, pair.outlet_b_id]] : []
  })
}

export async function setOutletPair(
  pen: Pen,
  { outletIds, fromOn, together }: { outletIds: [string, string]; fromOn: string; together: boolean },
): Promise<string> {
  const [outlet_a_id, outlet_b_id] = outletIds
  const row = { outlet_a_id, outlet_b_id, from_on: fromOn, together: together ? 1 : 0 }
  return appendEntry(pen, { kind: 'outlet-pair' }, { outlet_pair: [row] })
}

function valuesOn(
  rows: readonly { thing: string; from_on: string; seq: number; value: number }[],
  on: string,
): Record<string, number> {
  const values: Record<string, number> = {}
  for (const thing of new Set(rows.map((row) => row.thing))) {
    const row = inForce(
      rows.filter((one) => one.thing === thing),
      on,
    )
    if (row) values[thing] = row.value
  }
  return values
}
