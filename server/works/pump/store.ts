import { appendEntry, freshId, type Pen } from '../../book/entries.ts'
import { inForce, latestOfEach, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Pump {
  id: string
  number: number
  name: string
  weirId: string
  usualFlowM3PerH: number
  firstHour: number
  lastHour: number
  sunThresholdWPerM2: number
  meterDigits: number
  /** How many outlets may be open at the same time. */
  outletsAtOnce: number
  /** What it gives on a usual clear day, where the group knows. */
  usualDayM3: number | null
}

export interface Outlet {
  id: string
  number: number
  name: string
  pumpId: string
  /** The flow of the latest test; null until there is one. */
  flowM3PerH: number | null
  testedOn: string | null
}

/** The weirs on which a pump can stand, down the stream. */
export async function namedWeirs(db: Database): Promise<{ id: string; number: number; name: string }[]> {
  return db
    .selectFrom('weir')
    .select(['entry_id as id', 'number', 'name'])
    .where(standing('weir'))
    .orderBy('distance_m')
    .orderBy('number')
    .execute()
}

/** Pumps as they were described for a day. */
export async function listPumps(db: Database, on: string): Promise<Pump[]> {
  const rows = await db
    .selectFrom('pump_detail')
    .innerJoin('pump', 'pump.entry_id', 'pump_detail.pump_id')
    .innerJoin('entry', 'entry.id', 'pump_detail.entry_id')
    .selectAll('pump_detail')
    .select(['pump.number', 'pump.name', 'entry.seq'])
    .where(standing('pump_detail'))
    .orderBy('pump.number')
    .execute()
  const digitsOf = await digitsOn(db, on)
  return latestOfEach(rows, (row) => row.pump_id, on).map((row) => ({
    id: row.pump_id,
    number: row.number,
    name: row.name,
    weirId: row.weir_id,
    usualFlowM3PerH: row.usual_flow_m3_per_h,
    firstHour: row.first_hour,
    lastHour: row.last_hour,
    sunThresholdWPerM2: row.sun_threshold_w_per_m2,
    meterDigits: digitsOf(row),
    outletsAtOnce: row.outlets_at_once,
    usualDayM3: row.usual_day_m3,
  }))
}

/** A meter that was replaced since the pump was described counts from its day on. */
async function digitsOn(db: Database, on: string) {
  const meters = await db
    .selectFrom('pump_meter')
    .innerJoin('entry', 'entry.id', 'pump_meter.entry_id')
    .select(['pump_id', 'digits', 'on_date as from_on', 'entry.seq'])
    .where(standing('pump_meter'))
    .execute()
  return (described: { pump_id: string; from_on: string; meter_digits: number }): number => {
    const own = meters.filter((row) => row.pump_id === described.pump_id && row.from_on >= described.from_on)
    return inForce(own, on)?.digits ?? described.meter_digits
  }
}

/** Outlets with the flow last tested on or before a day. */
export async function listOutlets(db: Database, on: string): Promise<Outlet[]> {
  const outlets = await db
    .selectFrom('outlet')
    .select(['entry_id as id', 'number', 'name', 'pump_id as pumpId'])
    .where(standing('outlet'))
    .orderBy('number')
    .execute()
  const tests = await db
    .selectFrom('outlet_flow_test')
    .innerJoin('entry', 'entry.id', 'outlet_flow_test.entry_id')
    .select(['outlet_id', 'tested_on as from_on', 'flow_m3_per_h', 'seq'])
    .where(standing('outlet_flow_test'))
    .execute()
  return outlets.map((outlet) => {
    const test = inForce(
      tests.filter((row) => row.outlet_id === outlet.id),
      on,
    )
    return { ...outlet, flowM3PerH: test?.flow_m3_per_h ?? null, testedOn: test?.from_on ?? null }
  })
}

interface NewPump extends Omit<Pump, 'id'> {
  fromOn: string
}

export async function addPump(pen: Pen, pump: NewPump): Promise<string> {
  const id = freshId(pen)
  await appendEntry(pen, { kind: 'pump' }, { pump: [{ number: pump.number, name: pump.name }] }, id)
  await describePump(pen, id, pump)
  return id
}

async function describePump(pen: Pen, pumpId: string, pump: Omit<NewPump, 'number' | 'name'>): Promise<string> {
  const detail = {
    pump_id: pumpId,
    weir_id: pump.weirId,
    from_on: pump.fromOn,
    usual_flow_m3_per_h: pump.usualFlowM3PerH,
    first_hour: pump.firstHour,
    last_hour: pump.lastHour,
    sun_threshold_w_per_m2: pump.sunThresholdWPerM2,
    meter_digits: pump.meterDigits,
    outlets_at_once: pump.outletsAtOnce,
    usual_day_m3: pump.usualDayM3,
  }
  return appendEntry(pen, { kind: 'pump-detail' }, { pump_detail: [detail] })
}

export async function addOutlet(pen: Pen, outlet: { number: number; name: string; pumpId: string }): Promise<string> {
  const { number, name, pumpId } = outlet
  return appendEntry(pen, { kind: 'outlet' }, { outlet: [{ number, name, pump_id: pumpId }] })
}

/** Every test of an outlet, newest first. */
export async function flowTestsOf(db: Database, outletId: string): Promise<{ testedOn: string; flowM3PerH: number }[]> {
  return db
    .selectFrom('outlet_flow_test')
    .select(['tested_on as testedOn', 'flow_m3_per_h as flowM3PerH'])
    .where('outlet_id', '=', outletId)
    .where(standing('outlet_flow_test'))
    .orderBy('tested_on', 'desc')
    .execute()
}

export async function addFlowTest(
  pen: Pen,
  test: { outletId: string; testedOn: string; flowM3PerH: number },
): Promise<string> {
  const row = { outlet_id: test.outletId, tested_on: test.testedOn, flow_m3_per_h: test.flowM3PerH }
  return appendEntry(pen, { kind: 'flow-test' }, { outlet_flow_test: [row] })
}
