import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { standsOn } from '../../../domain/works/fault.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { stoppedByFaults, strikes } from '../../works/fault/store.ts'
import { onTheList } from '../published/amendment-store.ts'
import { outcomesOf, saidOf } from './store.ts'

interface OpenTurn {
  id: string
  plotId: Id<'plot'> | null
  pumpId: Id<'pump'>
  outletId: Id<'outlet'>
  on: string
  volumeM3: M3
}

/** Turns from a day up to another that nobody has logged yet or called missed, and that no fault keeps from coming. */
export async function openTurns(db: Database, fromOn: CalendarDate, beforeOn: CalendarDate): Promise<OpenTurn[]> {
  const { coming } = await waitingTurns(db, fromOn, beforeOn)
  return coming
}

/** Turns that fell, or will fall, on days on which a fault keeps their pump or outlet from running, unless their water was logged. */
export async function turnsStruck(db: Database, fromOn: CalendarDate, beforeOn: CalendarDate): Promise<OpenTurn[]> {
  const { struck } = await waitingTurns(db, fromOn, beforeOn)
  return struck
}

async function waitingTurns(db: Database, fromOn: CalendarDate, beforeOn: CalendarDate) {
  const turns: OpenTurn[] = await unloggedTurns(db, fromOn, beforeOn).execute()
  const ids = turns.map((turn) => turn.id)
  const outcomes = await outcomesOf(db, ids)
  const waiting = turns.filter((turn) => !saidOf(outcomes, turn.id).missed)
  const isStruck = await struckByFaults(db)
  return { coming: waiting.filter((turn) => !isStruck(turn)), struck: waiting.filter(isStruck) }
}

/** Turns on the list for which no water was logged. */
export function unloggedTurns(db: Database, fromOn: CalendarDate, beforeOn: CalendarDate) {
  return db
    .selectFrom('turn')
    .select(['turn.id', 'turn.plotId', 'turn.pumpId', 'turn.volumeM3'])
    .select(['turn.outletId', 'turn.onDate as on'])
    .where('turn.onDate', '>=', fromOn)
    .where('turn.onDate', '<', beforeOn)
    .where(standing('turn'))
    .where(onTheList)
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('abstraction')
            .select('entryId')
            .whereRef('abstraction.turnId', '=', 'turn.id')
            .where('abstraction.volumeM3', '>', 0)
            .where(standing('abstraction')),
        ),
      ),
    )
}

/** Whether a fault keeps a turn's pump or outlet from running on its day. */
export async function struckByFaults(db: Database) {
  const stopped = await stoppedByFaults(db)
  return (turn: { on: string; pumpId: Id<'pump'>; outletId: Id<'outlet'> }): boolean =>
    stopped.some((one) => standsOn(one, turn.on) && strikes(one, turn))
}
