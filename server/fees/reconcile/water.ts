import { fsum, group } from 'd3-array'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { exactM3, type M3 } from '../../../domain/units.ts'
import { combinedErrorM3 } from '../../../domain/works/tool-errors.ts'
import { type PumpWater, pumpWater } from '../../abstractions/balance/pump-balance-store.ts'
import { type MeterRead, meterReadsOf } from '../../abstractions/draw/meter-store.ts'
import { type Abstraction, listAbstractions } from '../../abstractions/draw/store.ts'
import type { Database } from '../../database/connection.ts'

export interface PeriodWater {
  pumpedM3: M3
  /** What the log says went through the pumps, with the rise in their tanks. */
  throughPumpsM3: M3
  unexplainedM3: M3
  toleranceM3: M3
  /** Pump days told by the pump's readings at dawn and dusk, and those told by turns read by meter. Older closings have none. */
  basis?: { readDays: number; turnDays: number }
}

interface OfPump {
  pumpedM3: M3
  throughM3: M3
  errorM3: M3
  readDays: number
  turnDays: number
}

/**
 * Pumped against what the log says went through the pumps. A day on which a pump was read at dawn and dusk goes by those
 * readings; any other day by the turns that were read on its meter. The errors of one pump lean the same way and are
 * added, pumps together are combined by squares. Null where no meter was read at all.
 */
export async function periodWater(
  db: Database,
  { from, to }: { from: CalendarDate; to: CalendarDate },
): Promise<PeriodWater | null> {
  const { pumps } = await pumpWater(db, { fromOn: from, toOn: to })
  // The water of the pumps is read a day further.
  const read = await listAbstractions(db, { fromOn: from, toOn: addDays(to, 1) })
  const within = read.filter(({ onDate }) => onDate <= to)
  const known = new Map(pumps.map((water) => [water.pump.id, water]))
  const drawn = group(
    within.filter(({ pumpId }) => pumpId !== null),
    ({ pumpId }) => pumpId!,
  )
  const pumpIds = [...new Set([...known.keys(), ...drawn.keys()])]
  const reads = await meterReadsOf(db, pumpIds)
  const parts: OfPump[] = []
  for (const pumpId of pumpIds) {
    const water = known.get(pumpId)
    const own = drawn.get(pumpId) ?? []
    const leftOut = new Set(water ? water.daysLeftOut : own.map(({ onDate }) => onDate))
    const rest = own.filter(({ onDate }) => leftOut.has(onDate))
    const read = byReadings(water)
    const part = added(read, byTurns(reads.get(pumpId)!, { draws: rest, wholly: read.readDays === 0 }))
    if (part.readDays + part.turnDays > 0) parts.push(part)
  }
  if (parts.length === 0) return null
  const pumpedM3 = exactM3(fsum(parts, (part) => part.pumpedM3))
  const throughPumpsM3 = exactM3(fsum(parts, (part) => part.throughM3))
  return {
    pumpedM3,
    throughPumpsM3,
    unexplainedM3: exactM3(pumpedM3 - throughPumpsM3),
    toleranceM3: combinedErrorM3({ errorsM3: parts.map((part) => part.errorM3) }),
    basis: { readDays: fsum(parts, (part) => part.readDays), turnDays: fsum(parts, (part) => part.turnDays) },
  }
}

const NOTHING: OfPump = { pumpedM3: 0, throughM3: 0, errorM3: 0, readDays: 0, turnDays: 0 }

function added(one: OfPump, other: OfPump): OfPump {
  const keys = Object.keys(NOTHING) as (keyof OfPump)[]
  return Object.fromEntries(keys.map((key) => [key, one[key] + other[key]])) as unknown as OfPump
}

function byReadings(water: PumpWater | undefined): OfPump {
  if (!water || water.daysRead === 0) return NOTHING
  const { pumpedM3, recordedM3, toleranceM3 } = water.balance
  const throughM3 = fsum(Object.values(recordedM3))
  return { ...NOTHING, pumpedM3, throughM3, errorM3: toleranceM3, readDays: water.daysRead }
}

/**
 * Turns read by meter, and what the same meter counted between the closing of one and the opening of the next: it was
 * pumped and is in no slip. A meter that starts anew says nothing about the water in between. Where other days go by
 * readings at dawn and dusk, only what lies between two turns of one day is counted here.
 */
function byTurns(
  reads: readonly MeterRead[],
  { draws, wholly }: { draws: readonly Abstraction[]; wholly: boolean },
): OfPump {
  const metered = draws.filter((draw) => draw.method === 'meter')
  if (metered.length === 0) return NOTHING
  const days = new Set(metered.map(({ onDate }) => onDate))
  const betweenM3 = reads.map((read, at) => {
    const previous = reads[at - 1]
    const inside = previous && days.has(read.onDate) && (wholly || previous.onDate === read.onDate)
    return inside ? Math.max(0, read.openingM3 - previous.closingM3) : 0
  })
  return {
    ...NOTHING,
    pumpedM3: fsum(metered, (draw) => draw.volumeM3) + fsum(betweenM3),
    throughM3: fsum(draws, (draw) => draw.volumeM3),
    errorM3: fsum(draws, (draw) => draw.uncertaintyM3),
    turnDays: days.size,
  }
}
