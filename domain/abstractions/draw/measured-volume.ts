import { exactM3, LITRES_PER_JERRYCAN, LITRES_PER_M3, type Litres, type M3 } from '../../units.ts'
import { type BucketNote, bucketFlow } from '../../works/bucket.ts'
import { checkedNumber, checkedPositive } from '../../works/checked-number.ts'
import {
  classTwoErrorFraction,
  sunErrorFraction,
  TANK_LEVEL_ERROR_M,
  TOOL_ERROR_FRACTION,
} from '../../works/tool-errors.ts'
import { type MeterNote, type MeterReadings, meterPassedM3 } from './meter.ts'

type MeterMethod = MeterReadings & {
  method: 'meter'
  /** When it is not given, the class 2 error at the flow below, or 5 % when the flow is not known. */
  meterMaxErrorFraction?: number
  flowM3PerH?: number
  transitionalFlowM3PerH?: number
  /** The smallest step that is read, 1 for whole cubic metres; each reading may be off by half of it. */
  readingStepM3?: M3
}
export type HoursMethod = { method: 'hours'; hours: number; flowM3PerH: number; flowErrorFraction?: number }
type BucketMethod = {
  method: 'bucket'
  containerLitres: Litres
  seconds: readonly number[]
  minutes: number
  /** A pump in the sun gives more at noon than in the morning; a tank does not. */
  underSun: boolean
}
type TankMethod = { method: 'tank'; areaM2: number; riseM: number; levelErrorM?: number }
type JerrycansMethod = { method: 'jerrycans'; count: number; litresEach?: number }
type Measurement = MeterMethod | HoursMethod | BucketMethod | TankMethod | JerrycansMethod

type MeasurementNote = MeterNote | BucketNote | 'flow-error-assumed' | 'meter-error-assumed' | 'tank-fell'

interface MeasuredVolume {
  /** Null only for a meter that ran back without a believable roll-over: then nobody can say. */
  volumeM3: M3 | null
  uncertaintyM3: M3 | null
  /** Measured: a meter, a tank of known area, counted jerrycans. Estimated: a time multiplied by a flow. */
  grade: 'measured' | 'estimated'
  notes: MeasurementNote[]
}

/**
 * The volume that was drawn, by any of the five ways to measure it, with its doubt (plus or minus).
 * Impossible figures (negative, not a number) throw InputError; odd ones are taken and noted.
 * Sources: see tool-errors.ts.
 */
export function measuredVolumeM3(measurement: Measurement): MeasuredVolume {
  switch (measurement.method) {
    case 'meter':
      return byMeter(measurement)
    case 'hours':
      return byHours(measurement)
    case 'bucket':
      return byBucket(measurement)
    case 'tank':
      return byTank(measurement)
    case 'jerrycans':
      return byJerrycans(measurement)
  }
}

function byMeter(meter: MeterMethod): MeasuredVolume {
  const { volumeM3, notes } = meterPassedM3(meter)
  if (volumeM3 === null) return { volumeM3, uncertaintyM3: null, grade: 'measured', notes }
  const { fraction, note } = meterError(meter)
  const stepM3 = checkedNumber(meter.readingStepM3 ?? 0, 'readingStepM3')
  const uncertaintyM3 = Math.hypot(volumeM3 * fraction, stepM3 / 2, stepM3 / 2)
  return { volumeM3, uncertaintyM3, grade: 'measured', notes: note ? [...notes, note] : notes }
}

function meterError(meter: MeterMethod): { fraction: number; note: MeasurementNote | null } {
  const { meterMaxErrorFraction, flowM3PerH, transitionalFlowM3PerH } = meter
  if (meterMaxErrorFraction !== undefined) {
    return { fraction: checkedNumber(meterMaxErrorFraction, 'meterMaxErrorFraction'), note: null }
  }
  if (flowM3PerH !== undefined && transitionalFlowM3PerH !== undefined) {
    const fraction = classTwoErrorFraction({ flowM3PerH, transitionalFlowM3PerH })!
    return { fraction, note: 'error-from-class-two' }
  }
  return { fraction: TOOL_ERROR_FRACTION.meter, note: 'meter-error-assumed' }
}

function byHours({ hours, flowM3PerH, flowErrorFraction }: HoursMethod): MeasuredVolume {
  const volumeM3 = exactM3(checkedNumber(hours, 'hours') * checkedPositive(flowM3PerH, 'flowM3PerH'))
  const fraction = checkedNumber(flowErrorFraction ?? TOOL_ERROR_FRACTION.hours, 'flowErrorFraction')
  const notes: MeasurementNote[] = flowErrorFraction === undefined ? ['flow-error-assumed'] : []
  return { volumeM3, uncertaintyM3: volumeM3 * fraction, grade: 'estimated', notes }
}

function byBucket({ containerLitres, seconds, minutes, underSun }: BucketMethod): MeasuredVolume {
  const { flowM3PerH, errorFraction, notes } = bucketFlow({ containerLitres, seconds })
  const volumeM3 = exactM3((flowM3PerH * checkedNumber(minutes, 'minutes')) / 60)
  const sun = underSun ? sunErrorFraction(minutes / 60) : 0
  return { volumeM3, uncertaintyM3: volumeM3 * Math.hypot(errorFraction, sun), grade: 'estimated', notes }
}

/** A tank that fell gives a negative volume: water that left it. */
function byTank({ areaM2, riseM, levelErrorM = TANK_LEVEL_ERROR_M }: TankMethod): MeasuredVolume {
  checkedPositive(areaM2, 'areaM2')
  checkedNumber(riseM, 'riseM', Number.NEGATIVE_INFINITY)
  const volumeM3 = exactM3(areaM2 * riseM)
  const readingM3 = areaM2 * checkedNumber(levelErrorM, 'levelErrorM')
  const uncertaintyM3 = Math.hypot(volumeM3 * TOOL_ERROR_FRACTION.tankArea, readingM3, readingM3)
  return { volumeM3, uncertaintyM3, grade: 'measured', notes: riseM < 0 ? ['tank-fell'] : [] }
}

function byJerrycans({ count, litresEach = LITRES_PER_JERRYCAN }: JerrycansMethod): MeasuredVolume {
  checkedPositive(litresEach, 'litresEach')
  const volumeM3 = exactM3((checkedNumber(count, 'count') * litresEach) / LITRES_PER_M3)
  return { volumeM3, uncertaintyM3: volumeM3 * TOOL_ERROR_FRACTION.jerrycans, grade: 'measured', notes: [] }
}
