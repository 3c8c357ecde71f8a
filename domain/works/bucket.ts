import { deviation, mean } from 'd3-array'
import { InputError } from '../input-error.ts'
import { exactM3, type Litres, type M3 } from '../units.ts'
import { checkedPositive } from './checked-number.ts'
import { TOOL_ERROR_FRACTION } from './tool-errors.ts'

export type BucketNote = 'timing-under-three-seconds' | 'timing-under-ten-seconds' | 'fewer-than-four-timings'

interface BucketFlow {
  flowM3PerH: number
  meanSeconds: number
  /** Longest less shortest. */
  spreadSeconds: number
  /** Of the flow: the tool's own error and the standard error of the mean timing, root of summed squares. */
  errorFraction: number
  notes: BucketNote[]
}

/**
 * Flow by bucket and watch: the container's litres over the mean of the timings.
 * Source: volumetric method, e.g. ISO/TR 8363 and WMO-No. 1044 (memory): at least 3 seconds, several times. Ten seconds and
 * four fills for the smaller error: common practice, no source.
 */
export function bucketFlow({
  containerLitres,
  seconds,
}: {
  containerLitres: Litres
  seconds: readonly number[]
}): BucketFlow {
  checkedPositive(containerLitres, 'containerLitres')
  if (seconds.length === 0) throw new InputError('no-timings', {})
  for (const timing of seconds) checkedPositive(timing, 'seconds')
  const meanSeconds = mean(seconds)!
  const notes = bucketNotes(seconds, meanSeconds)
  const tool = notes.length === 0 ? TOOL_ERROR_FRACTION.bucketCareful : TOOL_ERROR_FRACTION.bucketOrdinary
  const standardErrorSeconds = (deviation(seconds) ?? 0) / Math.sqrt(seconds.length)
  return {
    flowM3PerH: (containerLitres / meanSeconds) * 3.6, // 1 L/s is 3.6 m3/h
    meanSeconds,
    spreadSeconds: Math.max(...seconds) - Math.min(...seconds),
    errorFraction: Math.hypot(tool, standardErrorSeconds / meanSeconds),
    notes,
  }
}

/** How a flow test stands against an earlier one of the same outlet; a fall of a fifth is pointed out. */
export function flowTestChange({ earlierM3PerH, laterM3PerH }: { earlierM3PerH: number; laterM3PerH: number }) {
  checkedPositive(earlierM3PerH, 'earlierM3PerH')
  const changeFraction = laterM3PerH / earlierM3PerH - 1
  return { changeFraction, fellByAFifth: changeFraction <= -0.2 + 1e-9 }
}

/** Further from the test before it, either way, than careful tests and a clogging filter explain (own choice). */
const MUCH = 1 / 3

/** Whether a flow test is a third below or a half above an earlier one of the same outlet. Throws InputError for flows that are not positive. */
export function changesMuch({ earlierM3PerH, laterM3PerH }: { earlierM3PerH: number; laterM3PerH: number }): boolean {
  checkedPositive(earlierM3PerH, 'earlierM3PerH')
  checkedPositive(laterM3PerH, 'laterM3PerH')
  const [less, more] = [Math.min(earlierM3PerH, laterM3PerH), Math.max(earlierM3PerH, laterM3PerH)]
  return less <= more * (1 - MUCH)
}

function bucketNotes(seconds: readonly number[], meanSeconds: number): BucketNote[] {
  const notes: BucketNote[] = []
  if (Math.min(...seconds) < 3) notes.push('timing-under-three-seconds')
  else if (meanSeconds < 10) notes.push('timing-under-ten-seconds')
  if (seconds.length < 4) notes.push('fewer-than-four-timings')
  return notes
}

/** Nearer to its volume than this part no bucket test tells a turn to be short (own choice, about twice the error of a careful test). */
const TOLD_BELOW = 0.9

/**
 * What a turn brings in its hours where its outlet, by a test, gives less than the turn was planned with: flow × hours, m³. Null where
 * that is at least nine tenths of the volume. Time to fill the line, the pump's own limit and the sun are not counted, so it is the most that comes.
 */
export function broughtInHoursM3({
  volumeM3,
  hours,
  testedM3PerH,
}: {
  volumeM3: M3
  hours: number
  testedM3PerH: number
}): M3 | null {
  const broughtM3 = exactM3(testedM3PerH * hours)
  return broughtM3 < exactM3(TOLD_BELOW * volumeM3) ? broughtM3 : null
}
