import { group } from 'd3-array'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { MeterExchange } from '../../../domain/works/readings.ts'
import { anyWaits, waitsForName } from '../../book/name-needed.ts'
import { askTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listPumps } from '../pump/store.ts'

interface Meters {
  meterDigits: number
  exchanges: MeterExchange[]
}

/** By pump, the digits of its meter before a day, and every meter that has taken its place since. */
export async function metersSince(db: Database, fromOn: CalendarDate): Promise<ReadonlyMap<Id<'pump'>, Meters>> {
  const [alone, drawn] = await askTogether(db, exchangedAlone(db, fromOn), exchangedInDraws(db, fromOn))
  const known = new Set(alone.map(({ entryId }) => entryId))
  const inDraws = drawn.filter(({ entryId }) => !known.has(entryId)).map((row) => ({ ...row, digits: null }))
  const byPump = group([...alone, ...inDraws], ({ pumpId }) => pumpId)
  const pumps = await listPumps(db, addDays(fromOn, -1))
  return new Map(pumps.map(({ id, meterDigits }) => [id, metersOf(meterDigits, byPump.get(id) ?? [])]))
}

interface Exchanged {
  on: CalendarDate
  digits: number | null
  oldLastM3: number | null
  newFirstM3: number | null
}

function metersOf(meterDigits: number, written: readonly Exchanged[]): Meters {
  const exchanges: MeterExchange[] = []
  for (const { on, digits, oldLastM3, newFirstM3 } of written.toSorted((a, b) => (a.on < b.on ? -1 : 1))) {
    // A meter of which nobody said otherwise counts to as many digits as the one before it.
    const newDigits = digits ?? exchanges.at(-1)?.newDigits ?? meterDigits
    exchanges.push({ on, oldLastM3: oldLastM3!, newFirstM3: newFirstM3!, newDigits })
  }
  return { meterDigits, exchanges }
}

export function exchangedAlone(db: Database, fromOn: CalendarDate) {
  return db
    .selectFrom('pumpMeter')
    .select(['entryId', 'pumpId', 'onDate as on', 'digits', 'oldLastM3', 'newFirstM3'])
    .where('onDate', '>=', fromOn)
    .where(standing('pumpMeter'))
}

export function exchangedInDraws(db: Database, fromOn: CalendarDate) {
  return db
    .selectFrom('drawTool')
    .innerJoin('abstraction', 'abstraction.entryId', 'drawTool.entryId')
    .select(['drawTool.entryId', 'abstraction.pumpId', 'abstraction.onDate as on', 'oldLastM3', 'newFirstM3'])
    .where('oldLastM3', 'is not', null)
    .where('abstraction.pumpId', 'is not', null)
    .where('abstraction.onDate', '>=', fromOn)
    .where(standing('abstraction'))
}

interface OpenExchange {
  id: string
  pumpId: Id<'pump'>
  pumpNumber: number
  onDate: CalendarDate
  oldLastM3: number
  newFirstM3: number
  writerName: string
}

/** New meters that count already and wait for the name of somebody else, the latest written first. */
export async function openExchanges(db: Database): Promise<OpenExchange[]> {
  if (!(await anyWaits(db, 'pump-meter'))) return []
  return db
    .selectFrom('pumpMeter')
    .innerJoin('entry', 'entry.id', 'pumpMeter.entryId')
    .innerJoin('pump', 'pump.entryId', 'pumpMeter.pumpId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select([
      'entry.id',
      'pumpMeter.pumpId',
      'pump.number as pumpNumber',
      'pumpMeter.onDate',
      'person.name as writerName',
    ])
    .select(({ ref }) => [ref('oldLastM3').$notNull().as('oldLastM3'), ref('newFirstM3').$notNull().as('newFirstM3')])
    .where(waitsForName('pumpMeter'))
    .where(standing('pumpMeter'))
    .orderBy(asWritten, 'desc')
    .execute()
}
