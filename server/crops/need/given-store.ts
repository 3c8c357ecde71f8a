import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface GivenWater {
  plotId: Id<'plot'>
  onDate: string
  volumeM3: M3
}

/** Water logged for plots, a line a plot and day. */
export async function givenWater(db: Database, { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate }) {
  return (await loggedForPlots(db, { fromOn, toOn }).execute()).map(givenOf)
}

export function loggedForPlots(db: Database, { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate }) {
  return db
    .selectFrom('abstraction')
    .select((eb) => ['plotId', 'onDate', eb.fn.sum<number>('volumeM3').as('volumeM3')])
    .where('plotId', 'is not', null)
    .where('use', '=', 'irrigation')
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .where(standing('abstraction'))
    .groupBy(['plotId', 'onDate'])
}

function givenOf({
  plotId,
  onDate,
  volumeM3,
}: {
  plotId: Id<'plot'> | null
  onDate: string
  volumeM3: number
}): GivenWater {
  return { plotId: plotId!, onDate, volumeM3: Number(volumeM3) }
}

const bookBegun = readTogether('crops', (db) =>
  db
    .selectFrom('groupSetting')
    .innerJoin('entry', 'entry.id', 'groupSetting.entryId')
    .select((eb) => eb.fn.min<string | null>('entry.writtenAt').as('first')),
)

/** First day from which the book knows what water plots got: its own beginning, or the first water that was logged for an earlier day. */
export async function waterKnownFrom(db: Database): Promise<string | null> {
  const logged = await firstLogged(db).executeTakeFirst()
  // The group is founded with the book's first entry; what a clock that fell back wrote later is no beginning.
  const begun = (await bookBegun(db))[0]
  const days = [logged?.first, begun?.first?.slice(0, 10)].flatMap((day) => day ?? [])
  return days.sort()[0] ?? null
}

export function firstLogged(db: Database) {
  return db
    .selectFrom('abstraction')
    .select((eb) => eb.fn.min<string | null>('onDate').as('first'))
    .where('plotId', 'is not', null)
    .where('use', '=', 'irrigation')
    .where(standing('abstraction'))
}

/** Water of turns that are agreed, still on the list and not logged, a line a plot and day. */
export async function plannedWater(db: Database, { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate }) {
  return (await agreedForPlots(db, { fromOn, toOn }).execute()).map(givenOf)
}

export function agreedForPlots(db: Database, { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate }) {
  return db
    .selectFrom('turn')
    .select((eb) => ['plotId', 'onDate', eb.fn.sum<number>('volumeM3').as('volumeM3')])
    .where('plotId', 'is not', null)
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .where(standing('turn'))
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('turnChange')
            .select(sql`1`.as('one'))
            .whereRef('turnChange.turnId', '=', 'turn.id')
            .where(standing('turnChange')),
        ),
      ),
    )
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('abstraction')
            .select(sql`1`.as('one'))
            .whereRef('abstraction.turnId', '=', 'turn.id')
            .where(standing('abstraction')),
        ),
      ),
    )
    .groupBy(['plotId', 'onDate'])
}
