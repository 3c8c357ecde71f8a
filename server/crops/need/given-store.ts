import { sql } from 'kysely'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface GivenWater {
  plotId: string
  onDate: string
  volumeM3: number
}

/** Water logged for plots, a line a plot and day. */
export async function givenWater(db: Database, { fromOn, toOn }: { fromOn: string; toOn: string }) {
  const rows = await db
    .selectFrom('abstraction')
    .select((eb) => ['plot_id', 'on_date', eb.fn.sum<number>('volume_m3').as('volume_m3')])
    .where('plot_id', 'is not', null)
    .where('use', '=', 'irrigation')
    .where('on_date', '>=', fromOn)
    .where('on_date', '<=', toOn)
    .where(standing('abstraction'))
    .groupBy(['plot_id', 'on_date'])
    .execute()
  return rows.map((row): GivenWater => ({ plotId: row.plot_id!, onDate: row.on_date, volumeM3: Number(row.volume_m3) }))
}

/** First day from which the book knows what water plots got: its own beginning, or the first water that was logged for an earlier day. */
export async function waterKnownFrom(db: Database): Promise<string | null> {
  const logged = await db
    .selectFrom('abstraction')
    .select((eb) => eb.fn.min<string | null>('on_date').as('first'))
    .where('plot_id', 'is not', null)
    .where('use', '=', 'irrigation')
    .where(standing('abstraction'))
    .executeTakeFirst()
  const begun = await db
    .selectFrom('entry')
    .select((eb) => eb.fn.min<string | null>('written_at').as('first'))
    .executeTakeFirst()
  const days = [logged?.first, begun?.first?.slice(0, 10)].flatMap((day) => day ?? [])
  return days.sort()[0] ?? null
}

/** Water of turns that are agreed, still on the list and not logged, a line a plot and day. */
export async function plannedWater(db: Database, { fromOn, toOn }: { fromOn: string; toOn: string }) {
  const rows = await db
    .selectFrom('turn')
    .select((eb) => ['plot_id', 'on_date', eb.fn.sum<number>('volume_m3').as('volume_m3')])
    .where('plot_id', 'is not', null)
    .where('on_date', '>=', fromOn)
    .where('on_date', '<=', toOn)
    .where(standing('turn'))
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('turn_change')
            .select(sql`1`.as('one'))
            .whereRef('turn_change.turn_id', '=', 'turn.id')
            .where(standing('turn_change')),
        ),
      ),
    )
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('abstraction')
            .select(sql`1`.as('one'))
            .whereRef('abstraction.turn_id', '=', 'turn.id')
            .where(standing('abstraction')),
        ),
      ),
    )
    .groupBy(['plot_id', 'on_date'])
    .execute()
  return rows.map((row): GivenWater => ({ plotId: row.plot_id!, onDate: row.on_date, volumeM3: Number(row.volume_m3) }))
}
