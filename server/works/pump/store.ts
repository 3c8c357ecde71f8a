import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { appendEntry, type Facts, freshId, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, latestOfEach, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Pump {
  id: Id<'pump'>
  number: number
  name: string
  weirId: Id<'weir'>
  usualFlowM3PerH: number
  firstHour: number
  lastHour: number
  sunThresholdWPerM2: number
  meterDigits: number
  /** How many outlets may be open at the same time. */
  outletsAtOnce: number
  /** What it gives on a usual clear day, where the group knows. */
  usualDayM3: M3 | null
}

export interface Outlet {
  id: Id<'outlet'>
  number: number
  name: string
  pumpId: Id<'pump'>
  /** The flow of the latest test; null until there is one. */
  flowM3PerH: number | null
  testedOn: CalendarDate | null
}

/** The weirs on which a pump can stand, down the stream. */
export async function namedWeirs(db: Database): Promise<{ id: string; number: number; name: string }[]> {
  return db
    .selectFrom('weir')
    .select(['entryId as id', 'number', 'name'])
    .where(standing('weir'))
    .orderBy('distanceM')
    .orderBy('number')
    .execute()
}

const pumpRows = readTogether('works', (db) =>
  db
    .selectFrom('pumpDetail')
    .innerJoin('pump', 'pump.entryId', 'pumpDetail.pumpId')
    .innerJoin('entry', 'entry.id', 'pumpDetail.entryId')
    .selectAll('pumpDetail')
    .select(['pump.number', 'pump.name', 'entry.seq'])
    .where(standing('pumpDetail'))
    .orderBy('pump.number'),
)

/** Pumps as they were described for a day. */
export async function listPumps(db: Database, on: string): Promise<Pump[]> {
  const rows = await pumpRows(db)
  const digitsOf = await digitsOn(db, on)
  return latestOfEach(rows, (row) => row.pumpId, on).map((row) => ({
    id: row.pumpId,
    number: row.number,
    name: row.name,
    weirId: row.weirId,
    usualFlowM3PerH: row.usualFlowM3PerH,
    firstHour: row.firstHour,
    lastHour: row.lastHour,
    sunThresholdWPerM2: row.sunThresholdWPerM2,
    meterDigits: digitsOf(row),
    outletsAtOnce: row.outletsAtOnce,
    usualDayM3: row.usualDayM3,
  }))
}

const meterRows = readTogether('works', (db) =>
  db
    .selectFrom('pumpMeter')
    .innerJoin('entry', 'entry.id', 'pumpMeter.entryId')
    .select(['pumpId', 'digits', 'onDate as fromOn', 'entry.seq'])
    .where(standing('pumpMeter')),
)

/** A meter that was replaced since the pump was described counts from its day on. */
async function digitsOn(db: Database, on: string) {
  const meters = await meterRows(db)
  return (described: { pumpId: Id<'pump'>; fromOn: CalendarDate; meterDigits: number }): number => {
    const own = meters.filter((row) => row.pumpId === described.pumpId && row.fromOn >= described.fromOn)
    return inForce(own, on)?.digits ?? described.meterDigits
  }
}

const outletRows = readTogether('works', (db) =>
  db
    .selectFrom('outlet')
    .select(['entryId as id', 'number', 'name', 'pumpId'])
    .where(standing('outlet'))
    .orderBy('number'),
)

const flowRows = readTogether('works', (db) =>
  db
    .selectFrom('outletFlowTest')
    .innerJoin('entry', 'entry.id', 'outletFlowTest.entryId')
    .select(['outletId', 'testedOn as fromOn', 'flowM3PerH', 'seq'])
    .where(standing('outletFlowTest')),
)

/** Outlets with the flow last tested on or before a day. */
export async function listOutlets(db: Database, on: string): Promise<Outlet[]> {
  const outlets = await outletRows(db)
  const tests = await flowRows(db)
  const testsOf = group(tests, ({ outletId }) => outletId)
  return outlets.map((outlet) => {
    const test = inForce(testsOf.get(outlet.id) ?? [], on)
    return { ...outlet, flowM3PerH: test?.flowM3PerH ?? null, testedOn: test?.fromOn ?? null }
  })
}

interface NewPump extends Omit<Pump, 'id'> {
  fromOn: CalendarDate
}

export async function addPump(pen: Pen, pump: NewPump): Promise<string> {
  const id = freshId(pen)
  await appendEntry(pen, { kind: 'pump' }, { pump: [{ number: pump.number, name: pump.name }] }, id)
  await describePump(pen, id, pump)
  return id
}

async function describePump(pen: Pen, pumpId: Id<'pump'>, pump: Omit<NewPump, 'number' | 'name'>): Promise<string> {
  const detail = {
    pumpId,
    weirId: pump.weirId,
    fromOn: pump.fromOn,
    usualFlowM3PerH: pump.usualFlowM3PerH,
    firstHour: pump.firstHour,
    lastHour: pump.lastHour,
    sunThresholdWPerM2: pump.sunThresholdWPerM2,
    meterDigits: pump.meterDigits,
    outletsAtOnce: pump.outletsAtOnce,
    usualDayM3: pump.usualDayM3,
  }
  return appendEntry(pen, { kind: 'pump-detail' }, { pumpDetail: [detail] })
}

export async function addOutlet(
  pen: Pen,
  outlet: { number: number; name: string; pumpId: Id<'pump'> },
): Promise<string> {
  const { number, name, pumpId } = outlet
  return appendEntry(pen, { kind: 'outlet' }, { outlet: [{ number, name, pumpId }] })
}

/** Every test of an outlet, newest first. */
export async function flowTestsOf(
  db: Database,
  outletId: Id<'outlet'>,
): Promise<{ testedOn: CalendarDate; flowM3PerH: number }[]> {
  return db
    .selectFrom('outletFlowTest')
    .select(['testedOn', 'flowM3PerH'])
    .where('outletId', '=', outletId)
    .where(standing('outletFlowTest'))
    .orderBy('testedOn', 'desc')
    .execute()
}

export async function addFlowTest(
  pen: Pen,
  test: { outletId: Id<'outlet'>; testedOn: CalendarDate; flowM3PerH: number },
  more: Facts = {},
): Promise<string> {
  const row = { outletId: test.outletId, testedOn: test.testedOn, flowM3PerH: test.flowM3PerH }
  return appendEntry(pen, { kind: 'flow-test' }, { ...more, outletFlowTest: [row] })
}
