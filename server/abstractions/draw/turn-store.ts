import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { type PlannedTurn, turnsOn } from '../../rotation/published/listed-store.ts'

interface Drawn {
  onDate: CalendarDate
  plotId: Id<'plot'> | null
  outletId: Id<'outlet'> | null
}

/** The one turn of a plot on a day that has no draw yet, at the outlet where one is named; undefined where there is none, or several. */
export async function unloggedTurnOf(
  db: Database,
  { onDate, plotId, outletId }: Drawn,
): Promise<PlannedTurn | undefined> {
  if (plotId === null) return undefined
  const own = (await turnsOn(db, onDate)).filter(
    (turn) => turn.plotId === plotId && (outletId ?? turn.outletId) === turn.outletId,
  )
  if (own.length === 0) return undefined
  const ids = own.map(({ id }) => id)
  const logged = await db
    .selectFrom('abstraction')
    .select('turnId')
    .where('turnId', 'in', ids)
    .where(standing('abstraction'))
    .execute()
  const open = own.filter(({ id }) => !logged.some(({ turnId }) => turnId === id))
  return open.length === 1 ? open[0] : undefined
}
