import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The tank that feeds each outlet by gravity on a day; outlets straight from their pump are left out. */
export async function tankOutletsOn(
  db: Database,
  on: string,
): Promise<Map<string, { tankId: Id<'tank'>; fromOn: CalendarDate }>> {
  return (await tankOutlets(db))(on)
}

/** The same for any day, read once. */
export async function tankOutlets(db: Database) {
  const rows = await tankJoinings(db)
  return (on: string) => {
    const found = new Map<string, { tankId: Id<'tank'>; fromOn: CalendarDate }>()
    for (const outletId of new Set(rows.map((row) => row.outletId))) {
      const row = inForce(
        rows.filter((one) => one.outletId === outletId),
        on,
      )
      if (row?.tankId) found.set(outletId, { tankId: row.tankId, fromOn: row.fromOn })
    }
    return found
  }
}

const joiningRows = readTogether('works', (db) =>
  db
    .selectFrom('tankOutlet')
    .innerJoin('entry', 'entry.id', 'tankOutlet.entryId')
    .select(['outletId', 'tankId', 'fromOn', 'seq', 'writtenAt'])
    .where(standing('tankOutlet')),
)

/** Every joining of an outlet to a tank, or back to its pump, with the moment at which it was written. */
export function tankJoinings(db: Database) {
  return kept(db, 'outlets of tanks', null, () => joiningRows(db))
}

export async function setTankOutlet(
  pen: Pen,
  { outletId, tankId, fromOn }: { outletId: Id<'outlet'>; tankId: Id<'tank'> | null; fromOn: CalendarDate },
): Promise<string> {
  const row = { outletId, tankId, fromOn }
  return appendEntry(pen, { kind: 'tank-outlet' }, { tankOutlet: [row] })
}
