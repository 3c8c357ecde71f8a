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
