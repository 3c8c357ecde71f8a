import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The tank that feeds each outlet by gravity on a day; outlets straight from their pump are left out. */
export async function tankOutletsOn(
  db: Database,
  on: string,
): Promise<Map<string, { tankId: string; fromOn: string }>> {
  return (await tankOutlets(db))(on)
}

/** The same for any day, read once. */
export async function tankOutlets(db: Database) {
  const rows = await db
    .selectFrom('tank_outlet')
    .innerJoin('entry', 'entry.id', 'tank_outlet.entry_id')
    .select(['outlet_id', 'tank_id', 'from_on', 'seq'])
    .where(standing('tank_outlet'))
    .execute()
  return (on: string) => {
    const found = new Map<string, { tankId: string; fromOn: string }>()
    for (const outletId of new Set(rows.map((row) => row.outlet_id))) {
      const row = inForce(
        rows.filter((one) => one.outlet_id === outletId),
        on,
      )
      if (row?.tank_id) found.set(outletId, { tankId: row.tank_id, fromOn: row.from_on })
    }
    return found
  }
}

export async function setTankOutlet(
  pen: Pen,
  { outletId, tankId, fromOn }: { outletId: string; tankId: string | null; fromOn: string },
): Promise<string> {
  const row = { outlet_id: outletId, tank_id: tankId, from_on: fromOn }
  return appendEntry(pen, { kind: 'tank-outlet' }, { tank_outlet: [row] })
}
