import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { MeterExchange } from '../../../domain/works/readings.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listPumps } from '../pump/store.ts'

/** The digits of a pump's meter before a day, and every meter that has taken its place since. */
export async function metersOf(
  db: Database,
  pumpId: Id<'pump'>,
  fromOn: CalendarDate,
): Promise<{ meterDigits: number; exchanges: MeterExchange[] }> {
  const pump = (await listPumps(db, addDays(fromOn, -1))).find((one) => one.id === pumpId)!
  const digitsThen = pump.meterDigits
  const alone = await db
    .selectFrom('pumpMeter')
    .select(['entryId', 'onDate as on', 'digits', 'oldLastM3', 'newFirstM3'])
    .where('pumpId', '=', pumpId)
    .where('onDate', '>=', fromOn)
    .where(standing('pumpMeter'))
    .execute()
  const known = alone.map(({ entryId }) => entryId)
  const inDraws = (await exchangedInDraws(db, pumpId, fromOn)).filter(({ entryId }) => !known.includes(entryId))
  const exchanges: MeterExchange[] = []
  for (const { on, digits, oldLastM3, newFirstM3 } of [...alone, ...inDraws].toSorted((a, b) =>
    a.on < b.on ? -1 : 1,
  )) {
    // A meter of which nobody said otherwise counts to as many digits as the one before it.
    const newDigits = digits ?? exchanges.at(-1)?.newDigits ?? digitsThen
    exchanges.push({ on, oldLastM3: oldLastM3!, newFirstM3: newFirstM3!, newDigits })
  }
  return { meterDigits: digitsThen, exchanges }
}

async function exchangedInDraws(db: Database, pumpId: Id<'pump'>, fromOn: CalendarDate) {
  const rows = await db
    .selectFrom('drawTool')
    .innerJoin('abstraction', 'abstraction.entryId', 'drawTool.entryId')
    .select(['drawTool.entryId', 'abstraction.onDate as on', 'oldLastM3', 'newFirstM3'])
    .where('oldLastM3', 'is not', null)
    .where('abstraction.pumpId', '=', pumpId)
    .where('abstraction.onDate', '>=', fromOn)
    .where(standing('abstraction'))
    .execute()
  return rows.map((row) => ({ ...row, digits: null }))
}
