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

/** Day of the first water that was logged for a plot; null before any was. */
export async function firstGivenOn(db: Database): Promise<string | null> {
  const row = await db
    .selectFrom('abstraction')
    .select((eb) => eb.fn.min<string | null>('on_date').as('first'))
    .where('plot_id', 'is not', null)
    .where('use', '=', 'irrigation')
    .where(standing('abstraction'))
    .executeTakeFirst()
  return row?.first ?? null
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
