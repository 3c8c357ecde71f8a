import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { onTheList } from './amendment-store.ts'

/** A turn of a published week, as the log needs it. */
export interface PlannedTurn {
  id: Id<'turn'>
  onDate: CalendarDate
  startMinute: number
  endMinute: number
  volumeM3: M3
  plotId: Id<'plot'> | null
  plotNumber: number | null
  plotName: string | null
  outletId: Id<'outlet'>
  outletNumber: number
  outletName: string
  pumpId: Id<'pump'>
  pumpNumber: number
}

/** The turns of a day in the order of the clock. */
export async function turnsOn(db: Database, on: CalendarDate): Promise<PlannedTurn[]> {
  return plannedTurns(db)
    .where('turn.onDate', '=', on)
    .where(onTheList)
    .orderBy('turn.startMinute')
    .orderBy('outlet.number')
    .execute()
}

/** The turns of a span of days as they stand on the list. */
export async function turnsBetween(
  db: Database,
  { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate },
): Promise<PlannedTurn[]> {
  return plannedTurns(db)
    .where('turn.onDate', '>=', fromOn)
    .where('turn.onDate', '<=', toOn)
    .where(onTheList)
    .orderBy('turn.onDate')
    .orderBy('turn.startMinute')
    .orderBy('outlet.number')
    .execute()
}

/** Every turn that a plot was ever given in some days, also those that were taken off the list since. */
export async function turnsEverPlanned(
  db: Database,
  { plotId, fromOn, toOn }: { plotId: Id<'plot'>; fromOn: CalendarDate; toOn: CalendarDate },
): Promise<PlannedTurn[]> {
  return plannedTurns(db)
    .where('turn.plotId', '=', plotId)
    .where('turn.onDate', '>=', fromOn)
    .where('turn.onDate', '<=', toOn)
    .orderBy('turn.onDate')
    .orderBy('turn.startMinute')
    .execute()
}

export async function findTurn(db: Database, id: string): Promise<PlannedTurn | undefined> {
  return plannedTurns(db).where('turn.id', '=', id).executeTakeFirst()
}

export function turnsOfIds(db: Database, ids: readonly string[]) {
  return plannedTurns(db).where((eb) => (ids.length > 0 ? eb('turn.id', 'in', ids) : eb.lit(false)))
}

function plannedTurns(db: Database) {
  return db
    .selectFrom('turn')
    .innerJoin('outlet', 'outlet.entryId', 'turn.outletId')
    .innerJoin('pump', 'pump.entryId', 'turn.pumpId')
    .leftJoin('plot', 'plot.entryId', 'turn.plotId')
    .where(standing('turn'))
    .select([
      'turn.id',
      'turn.onDate',
      'turn.startMinute',
      'turn.endMinute',
      'turn.volumeM3',
      'turn.plotId',
      'plot.number as plotNumber',
      'plot.name as plotName',
      'turn.outletId',
      'outlet.number as outletNumber',
      'outlet.name as outletName',
      'turn.pumpId',
      'pump.number as pumpNumber',
    ])
}

/** The days of a span on which turns of plots stand, the first first. */
export async function daysWithTurns(
  db: Database,
  { fromOn, beforeOn }: { fromOn: CalendarDate; beforeOn: CalendarDate },
): Promise<CalendarDate[]> {
  const rows = await db
    .selectFrom('turn')
    .select('onDate')
    .distinct()
    .where('onDate', '>=', fromOn)
    .where('onDate', '<', beforeOn)
    .where('plotId', 'is not', null)
    .where(standing('turn'))
    .orderBy('onDate')
    .execute()
  return rows.map(({ onDate }) => onDate)
}
