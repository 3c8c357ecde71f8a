import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'

/** The last day that was charged, of a delivery or of a turn not used; a new price can only begin after it. */
export async function lastChargedDay(db: Database): Promise<CalendarDate | null> {
  const delivered = await db
    .selectFrom('transfer')
    .innerJoin('abstraction', 'abstraction.entryId', 'transfer.abstractionId')
    .select((eb) => eb.fn.max('abstraction.onDate').as('last'))
    .executeTakeFirst()
  const unused = await db
    .selectFrom('missedTurn')
    .innerJoin('turn', 'turn.id', 'missedTurn.turnId')
    .select((eb) => eb.fn.max('turn.onDate').as('last'))
    .executeTakeFirst()
  return [delivered?.last, unused?.last].reduce<string | null>(
    (last, on) => (on && on > (last ?? '') ? on : last),
    null,
  )
}
