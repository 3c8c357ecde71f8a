import { parseHours } from '../../../domain/abstractions/draw/hours.ts'
import { type HoursMethod, measuredVolumeM3 } from '../../../domain/abstractions/draw/measured-volume.ts'
import type { MeterReplacement } from '../../../domain/abstractions/draw/meter.ts'
import type { PlausibilityInput } from '../../../domain/abstractions/plausibility/logged-turn.ts'
import { mostBelievableM3 } from '../../../domain/abstractions/plausibility/meter-flags.ts'
import {
  countedInstead,
  type MostCounted,
  mostCounted,
} from '../../../domain/abstractions/plausibility/most-counted.ts'
import type { Vessel } from '../../../domain/people/measure.ts'
import { LITRES_PER_M3, type Litres, type M3 } from '../../../domain/units.ts'
import { bucketFlow } from '../../../domain/works/bucket.ts'
import { sunErrorFraction, TOOL_ERROR_FRACTION } from '../../../domain/works/tool-errors.ts'
import type { Place } from '../place/store.ts'
import type { DrawData } from './forms.ts'
import { type DrawMore, type DrawTool, NO_TOOL } from './more-store.ts'
import type { NewAbstraction } from './store.ts'
import type { Way } from './types.ts'

type Measured = Pick<
  NewAbstraction,
  'method' | 'openingM3' | 'closingM3' | 'hours' | 'flowM3PerH' | 'volumeM3' | 'uncertaintyM3' | 'grade'
> & { tool?: DrawTool; seconds?: number[]; typed?: DrawMore['typed'] }
/** The field that must be mended, and the words for it. */
interface Unmeasured {
  field: string
  key: string
}

const LITRES_EACH: Record<string, Litres> = { litres: 1, m3: LITRES_PER_M3 }
const NOTHING = { openingM3: null, closingM3: null, hours: null, flowM3PerH: null }

interface Reading {
  data: DrawData
  place: Place
  /** What is known of the draw, for the most that can have passed. */
  facts: PlausibilityInput
  /** Hours between start and stop, where both were written in order. */
  clockHours: number | null
  /** What a can of the group holds. */
  canLitres: Litres
  /** What else it counts in. */
  vessels: readonly Vessel[]
}

export function measure(way: Way, reading: Reading): Measured | Unmeasured {
  switch (way) {
    case 'meter':
      return byMeter(reading)
    case 'replaced':
      return byReplacedMeter(reading)
    case 'hours':
      return byHours(reading)
    case 'bucket':
      return byBucket(reading)
    case 'tank':
      return byTank(reading)
    case 'volume':
      return byVolume(reading)
  }
}

/** The old meter up to its last reading and the new one from its first; unless told, the new one has as many digits. */
function byReplacedMeter(reading: Reading): Measured {
  const { oldLast, newFirst, newSerial = null, newDigits = null } = reading.data
  const tool = { ...NO_TOOL, oldLastM3: oldLast!, newFirstM3: newFirst!, newSerial, newDigits }
  const newMeterDigits = newDigits ?? reading.place.pump?.meterDigits
  return { ...byMeter(reading, { oldLastM3: oldLast!, newFirstM3: newFirst!, newMeterDigits }), tool }
}

function byMeter({ data, place, facts, clockHours }: Reading, replacement?: MeterReplacement): Measured {
  const [openingM3, closingM3] = [data.opening!, data.closing!]
  const mostM3 = mostBelievableM3(facts)
  const meterDigits = place.pump?.meterDigits
  const readingStepM3 = Math.min(stepOf(openingM3), stepOf(closingM3))
  const meter = { method: 'meter' as const, openingM3, closingM3, meterDigits, mostM3, readingStepM3 }
  const read = measuredVolumeM3({ ...meter, replacement })
  const readings = { ...NOTHING, method: 'meter' as const, openingM3, closingM3 }
  const most = data.asRead ? null : mostCounted(facts)
  if (read.volumeM3 !== null && (most === null || read.volumeM3 <= most.mostM3)) {
    return { ...readings, volumeM3: read.volumeM3, uncertaintyM3: read.uncertaintyM3!, grade: read.grade }
  }
  return { ...readings, ...insteadOfMeter({ place, clockHours, readM3: read.volumeM3, mostM3, most }) }
}

interface Unbelievable {
  place: Place
  clockHours: number | null
  /** What the readings say, although it is more than can have passed; null when they run back. */
  readM3: M3 | null
  mostM3: M3
  most: MostCounted | null
}

/** Readings that run back or say too much: the clock stands in for them; without it nothing counts and the doubt carries all. */
function insteadOfMeter({ place, clockHours, readM3, mostM3, most }: Unbelievable) {
  const flow = flowAt(place)
  const flowM3PerH = flow?.flowM3PerH ?? null
  const byClock = clockHours !== null && flow !== null && byFlow({ method: 'hours', hours: clockHours, ...flow })
  if (readM3 !== null && most !== null) {
    const [byClockM3, byClockErrorM3] = byClock ? [byClock.volumeM3, byClock.uncertaintyM3] : [null, 0]
    const counted = countedInstead({ readM3, byClockM3, byClockErrorM3, most })
    return { hours: clockHours, flowM3PerH: byClock ? flowM3PerH : null, ...counted, grade: 'estimated' as const }
  }
  if (byClock) return byClock
  const doubtM3 = Number.isFinite(mostM3) ? mostM3 : (most?.wholeDayM3 ?? 0)
  return { volumeM3: 0, uncertaintyM3: doubtM3, grade: 'estimated' as const }
}

function byHours({ data, place, clockHours }: Reading): Measured | Unmeasured {
  const hours = data.hours ? parseHours(data.hours).hours : clockHours
  if (hours === null) return { field: 'hours', key: 'abstractions.draw.hours-missing' }
  const flow = flowAt(place)
  if (flow === null) return { field: 'hours', key: 'abstractions.draw.flow-unknown' }
  return { ...NOTHING, method: 'hours', ...byFlow({ method: 'hours', hours, ...flow }) }
}

function byFlow(drawn: HoursMethod) {
  const { volumeM3, uncertaintyM3 } = measuredVolumeM3(drawn)
  const { hours, flowM3PerH } = drawn
  return { hours, flowM3PerH, volumeM3: volumeM3!, uncertaintyM3: uncertaintyM3!, grade: 'estimated' as const }
}

/** How long the water ran, as typed or by the clock, times the bucket's flow; four timings show their spread. */
function byBucket({ data, place, clockHours }: Reading): Measured | Unmeasured {
  const hours = data.hours ? parseHours(data.hours).hours : clockHours
  if (hours === null) return { field: 'hours', key: 'abstractions.draw.hours-missing' }
  const seconds = [data.seconds1, data.seconds2, data.seconds3, data.seconds4].flatMap((timing) => timing ?? [])
  const containerLitres = data.containerLitres!
  const { flowM3PerH } = bucketFlow({ containerLitres, seconds })
  const drawn = measuredVolumeM3({
    method: 'bucket',
    containerLitres,
    seconds,
    minutes: hours * 60,
    underSun: place.tankId == null,
  })
  return {
    ...NOTHING,
    method: 'bucket',
    hours,
    flowM3PerH,
    volumeM3: drawn.volumeM3!,
    uncertaintyM3: drawn.uncertaintyM3!,
    grade: drawn.grade,
    tool: { ...NO_TOOL, containerLitres },
    seconds,
  }
}

function byTank({ data }: Reading): Measured {
  const { tankArea: areaM2, tankRise: riseCm } = data
  const drawn = measuredVolumeM3({ method: 'tank', areaM2: areaM2!, riseM: riseCm! / 100 })
  const tool = { ...NO_TOOL, tankAreaM2: areaM2!, tankRiseM: riseCm! / 100 }
  const { volumeM3, uncertaintyM3, grade } = drawn
  return { ...NOTHING, method: 'tank', volumeM3: volumeM3!, uncertaintyM3: uncertaintyM3!, grade, tool }
}

/** Counted jerrycans and vessels of the group are a measurement; litres or m3 that somebody names are an estimate (common practice, no source). */
function byVolume({ data, canLitres, vessels }: Reading): Measured | Unmeasured {
  const { volume, unit } = { volume: data.volume!, unit: data.unit! }
  const vessel = vessels.find(({ name }) => name === unit)
  const counted = unit === 'jerrycans' || vessel !== undefined
  const litresEach = unit === 'jerrycans' ? canLitres : (LITRES_EACH[unit] ?? vessel?.litresEach)
  if (litresEach === undefined) return { field: 'unit', key: 'error.choose' }
  const drawn = measuredVolumeM3({ method: 'jerrycans', count: volume, litresEach })
  const volumeM3 = drawn.volumeM3!
  return {
    ...NOTHING,
    method: 'volume',
    volumeM3,
    uncertaintyM3: counted ? drawn.uncertaintyM3! : volumeM3 * TOOL_ERROR_FRACTION.bucketOrdinary,
    grade: counted ? 'measured' : 'estimated',
    ...(vessel ? { typed: { unit, figure: volume, litresEach, doubtPart: TOOL_ERROR_FRACTION.jerrycans } } : {}),
  }
}

interface Flow {
  flowM3PerH: number
  /** That of a tested flow where it is left out. */
  flowErrorFraction?: number
}

/**
 * What ran in an hour: of a line that is put right, what it was reckoned by; else by the bucket where the pump was timed since its outlet was tested, with the sun of another hour as more
 * doubt; else the tested flow of the outlet, at the pump itself its usual flow; by hand there is none.
 */
export function flowAt({ outlet, pump, bucket, reckonedBy }: Place): Flow | null {
  if (reckonedBy) return reckonedBy
  if (bucket && (outlet?.testedOn ?? '') <= bucket.onDate)
    return { flowM3PerH: bucket.flowM3PerH, flowErrorFraction: Math.hypot(bucket.errorFraction, sunErrorFraction()) }
  const flowM3PerH = outlet ? outlet.flowM3PerH : (pump?.usualFlowM3PerH ?? null)
  return flowM3PerH === null ? null : { flowM3PerH }
}

/** The smallest step that was read: 1 for a whole number, 0.1 with one decimal, down to a litre. */
export function stepOf(readingM3: M3): number {
  return 10 ** -Math.min(3, String(readingM3).split('.')[1]?.length ?? 0)
}
