import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type HouseholdFacts, householdOf } from '../../../domain/people/household.ts'
import type { Database } from '../../database/connection.ts'
import { kept } from '../kept-answers.ts'
import { readTogether } from '../register/together.ts'
import { inForce, standing } from '../standing.ts'

const livingRows = readTogether('names', (db) =>
  db
    .selectFrom('livesTogether')
    .innerJoin('entry', 'entry.id', 'livesTogether.entryId')
    .select(['entryId', 'personId', 'fromOn', 'seq'])
    .where(standing('livesTogether')),
)

/** Who lives together, as it was written down, joined with the plots that people hold together. */
export function householdFacts(db: Database): Promise<HouseholdFacts> {
  return kept(db, 'households', null, () => readHouseholdFacts(db))
}

async function readHouseholdFacts(db: Database): Promise<HouseholdFacts> {
  const living = await livingRows(db)
  const held = [...group(await holderRows(db), ({ entryId, plotId }) => `${entryId} ${plotId}`).values()]
  return {
    living: [...group(living, ({ entryId }) => entryId).values()].map(named),
    held: held.map((rows) => ({ ...named(rows), plotId: rows[0]!.plotId })),
  }
}

function named(rows: readonly { fromOn: CalendarDate; seq: number; personId: Id<'person'> }[]) {
  const { fromOn, seq } = rows[0]!
  return { fromOn, seq, personIds: rows.map(({ personId }) => personId) }
}

const holderRows = readTogether('names', (db) =>
  db
    .selectFrom('plotHolder')
    .innerJoin('entry', 'entry.id', 'plotHolder.entryId')
    .select(['entryId', 'plotId', 'personId', 'fromOn', 'seq'])
    .where(standing('plotHolder')),
)

export async function holdersOf(db: Database, plotId: Id<'plot'>, on: CalendarDate): Promise<Id<'person'>[]> {
  const rows = (await holderRows(db)).filter((row) => row.plotId === plotId)
  const last = inForce(rows, on)
  return rows.filter(({ entryId }) => entryId === last?.entryId).map(({ personId }) => personId)
}

/** The holders of a plot with everybody of their households. */
export async function householdOfPlot(db: Database, plotId: Id<'plot'>, on: CalendarDate): Promise<Id<'person'>[]> {
  return householdOf(await householdFacts(db), await holdersOf(db, plotId, on), on)
}

/** Whether somebody, or one of their household, holds one of these plots on a day. */
export async function householdHolds(
  db: Database,
  personId: Id<'person'>,
  { plotIds, on }: { plotIds: readonly Id<'plot'>[]; on: CalendarDate },
): Promise<boolean> {
  for (const plotId of plotIds) if ((await householdOfPlot(db, plotId, on)).includes(personId)) return true
  return false
}
