import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { PlotClass } from '../../../domain/people/plot-class.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

const planClassRows = readTogether('turns', (db) =>
  db
    .selectFrom('planClass')
    .innerJoin('entry', 'entry.id', 'planClass.entryId')
    .selectAll('planClass')
    .select('entry.seq')
    .where(standing('planClass')),
)

/** The classes that the group has written for crop plans, in force on a day; plans without one are left out. */
export async function planClassesOn(db: Database, on: string): Promise<Map<string, PlotClass>> {
  const rows = await planClassRows(db)
  const classes = new Map<string, PlotClass>()
  for (const planId of new Set(rows.map((row) => row.planId))) {
    const row = inForce(
      rows.filter((one) => one.planId === planId),
      on,
    )
    if (row?.class) classes.set(planId, row.class as PlotClass)
  }
  return classes
}

/** Null takes a crop back to the class that follows from its kind and its sowing. */
export async function setPlanClass(
  pen: Pen,
  { planId, fromOn, plotClass }: { planId: Id<'plan'>; fromOn: CalendarDate; plotClass: PlotClass | null },
): Promise<string> {
  const row = { planId, fromOn, class: plotClass }
  return appendEntry(pen, { kind: 'plan-class' }, { planClass: [row] })
}
