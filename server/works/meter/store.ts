import { addDays } from '../../../domain/calendar.ts'
import type { MeterExchange } from '../../../domain/works/readings.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listPumps } from '../pump/store.ts'

/** The digits of a pump's meter before a day, and every meter that has taken its place since. */
export async function metersOf(
  db: Database,
  pumpId: string,
  fromOn: string,
): Promise<{ meterDigits: number; exchanges: MeterExchange[] }> {
  const pump = (await listPumps(db, addDays(fromOn, -1))).find((one) => one.id === pumpId)!
  const digitsThen = pump.meterDigits
  const alone = await db
    .selectFrom('pump_meter')
    .select(['entry_id', 'on_date as on', 'digits', 'old_last_m3', 'new_first_m3'])
    .where('pump_id', '=', pumpId)
    .where('on_date', '>=', fromOn)
    .where(standing('pump_meter'))
    .execute()
  const known = alone.map(({ entry_id }) => entry_id)
  const inDraws = (await exchangedInDraws(db, pumpId, fromOn)).filter(({ entry_id }) => !known.includes(entry_id))
  const exchanges: MeterExchange[] = []
  for (const { on, digits, old_last_m3, new_first_m3 } of [...alone, ...inDraws].toSorted((a, b) =>
    a.on < b.on ? -1 : 1,
  )) {
    // A meter of which nobody said otherwise counts to as many digits as the one before it.
    const newDigits = digits ?? exchanges.at(-1)?.newDigits ?? digitsThen
    exchanges.push({ on, oldLastM3: old_last_m3!, newFirstM3: new_first_m3!, newDigits })
  }
  return { meterDigits: digitsThen, exchanges }
}

async function exchangedInDraws(db: Database, pumpId: string, fromOn: string) {
  const rows = await db
    .selectFrom('draw_tool')
    .innerJoin('abstraction', 'abstraction.entry_id', 'draw_tool.entry_id')
    .select(['draw_tool.entry_id', 'abstraction.on_date as on', 'old_last_m3', 'new_first_m3'])
    .where('old_last_m3', 'is not', null)
    .where('abstraction.pump_id', '=', pumpId)
    .where('abstraction.on_date', '>=', fromOn)
    .where(standing('abstraction'))
    .execute()
  return rows.map((row) => ({ ...row, digits: null }))
}
