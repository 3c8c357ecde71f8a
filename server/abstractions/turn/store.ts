import type { CalendarDate } from '../../../domain/calendar.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { onTheList } from '../../rotation/published/amendment-store.ts'

/** A turn of a published week, as the log needs it. */
export interface PlannedTurn {
  id: string
  onDate: CalendarDate
  startMinute: number
  endMinute: number
  volumeM3: number
  plotId: string | null
  plotNumber: number | null
  plotName: string | null
  outletId: string
  outletNumber: number
  outletName: string
  pumpId: string
  pumpNumber: number
}

/** The turns of a day in the order of the clock. */
export async function turnsOn(db: Database, on: CalendarDate): Promise<PlannedTurn[]> {
  return plannedTurns(db)
    .where('turn.on_date', '=', on)
    .where(onTheList)
    .orderBy('turn.start_minute')
    .orderBy('outlet.number')
    .execute()
}

/** The turns of a span of days as they stand on the list. */
export async function turnsBetween(
  db: Database,
  { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate },
): Promise<PlannedTurn[]> {
  return plannedTurns(db)
    .where('turn.on_date', '>=', fromOn)
    .where('turn.on_date', '<=', toOn)
    .where(onTheList)
    .orderBy('turn.on_date')
    .orderBy('turn.start_minute')
    .orderBy('outlet.number')
    .execute()
}

/** Every turn that a plot was ever given in some days, also those that were taken off the list since. */
export async function turnsEverPlanned(
  db: Database,
  { plotId, fromOn, toOn }: { plotId: string; fromOn: CalendarDate; toOn: CalendarDate },
): Promise<PlannedTurn[]> {
  return plannedTurns(db)
    .where('turn.plot_id', '=', plotId)
    .where('turn.on_date', '>=', fromOn)
    .where('turn.on_date', '<=', toOn)
    .orderBy('turn.on_date')
    .orderBy('turn.start_minute')
    .execute()
}

export async function findTurn(db: Database, id: string): Promise<PlannedTurn | undefined> {
  return plannedTurns(db).where('turn.id', '=', id).executeTakeFirst()
}

function plannedTurns(db: Database) {
  return db
    .selectFrom('turn')
    .innerJoin('outlet', 'outlet.entry_id', 'turn.outlet_id')
    .innerJoin('pump', 'pump.entry_id', 'turn.pump_id')
    .leftJoin('plot', 'plot.entry_id', 'turn.plot_id')
    .where(standing('turn'))
    .select([
      'turn.id as id',
      'turn.on_date as onDate',
      'turn.start_minute as startMinute',
      'turn.end_minute as endMinute',
      'turn.volume_m3 as volumeM3',
      'turn.plot_id as plotId',
      'plot.number as plotNumber',
      'plot.name as plotName',
      'turn.outlet_id as outletId',
      'outlet.number as outletNumber',
      'outlet.name as outletName',
      'turn.pump_id as pumpId',
      'pump.number as pumpNumber',
    ])
}
