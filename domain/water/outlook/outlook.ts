import { quantileSorted } from 'd3-array'
import { addDays, type CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { InputError } from '../../input-error.ts'
import type { M3 } from '../../units.ts'
import {
  drawTraces,
  namedTrace,
  type OutlookInput,
  outlookDays,
  type PreparedWeir,
  prepareWeirs,
  runStream,
  runTrace,
  type Trace,
} from './traces.ts'

/** With fewer rain years than this no percentage is honest; the years are shown by name instead. */
const RAIN_YEARS_FOR_PERCENTAGES = 10

interface OutlookBand {
  date: CalendarDate
  /** Above the off-take: less than this in one season of ten, of two, in nine of ten. */
  tenM3: M3
  fiftyM3: M3
  ninetyM3: M3
  reserveM3: M3
}

interface WeirOutlook {
  weirId: Id<'weir'>
  bands: OutlookBand[]
  /** Share of the seasons that never fall below the reserve line. */
  chanceAboveReserve: number
  /** The day by which one season of ten, half, and nine of ten have fallen below; null when fewer ever do. */
  firstBelow: { tenOn: CalendarDate | null; fiftyOn: CalendarDate | null; ninetyOn: CalendarDate | null }
}

interface YearOutlook {
  name: string
  weirs: { weirId: Id<'weir'>; availableM3: number[]; firstBelowOn: CalendarDate | null }[]
}

export type StorageOutlook =
  | { cannotSay: ['no-rain-years'] }
  | { cannotSay: null; kind: 'bands'; weirs: WeirOutlook[] }
  | {
      cannotSay: null
      kind: 'years'
      dates: CalendarDate[]
      weirs: { weirId: Id<'weir'>; reserveM3: number[] }[]
      years: YearOutlook[]
    }

/**
 * The water above the off-take to the season's end, over many seasons made from the group's own rain years: each a year
 * drawn by the seed and shifted by up to ten days, on sand drawn between low and high. Recharge is limited by the space
 * left; spill and the chosen leak feed the weir below; the week's plan is drawn while there is water.
 * Source: continuity, and resampling of whole years, which keeps wet and dry spells together. The same seed gives the same.
 */
export function storageOutlook(input: OutlookInput): StorageOutlook {
  checkRain(input)
  if (input.rainYears.length === 0) return { cannotSay: ['no-rain-years'] }
  const prepared = prepareWeirs(input)
  const inOrder = <T extends { weirId: Id<'weir'> }>(found: T[]) =>
    input.weirs.map(({ weirId }) => found.find((one) => one.weirId === weirId)!)
  if (input.rainYears.length < RAIN_YEARS_FOR_PERCENTAGES) return yearByYear(input, prepared, inOrder)
  const days = outlookDays(input)
  const traces = drawTraces(input)
  const byWeir = prepared.map(() => ({
    availableM3: Array.from({ length: days }, () => new Float64Array(traces.length)),
    firstBelow: new Float64Array(traces.length),
  }))
  traces.forEach((trace, t) => {
    runStream(prepared, trace, (index, run) => {
      const one = byWeir[index]!
      run.availableM3.forEach((m3, day) => {
        one.availableM3[day]![t] = m3
      })
      one.firstBelow[t] = run.firstBelow === -1 ? Number.POSITIVE_INFINITY : run.firstBelow
    })
  })
  return {
    cannotSay: null,
    kind: 'bands',
    weirs: inOrder(prepared.map((one, i) => weirOutlook(input, one, byWeir[i]!))),
  }
}

function weirOutlook(
  input: OutlookInput,
  { weir, reserveByDayM3 }: PreparedWeir,
  found: { availableM3: Float64Array[]; firstBelow: Float64Array },
): WeirOutlook {
  const bands = found.availableM3.map((dayM3, day) => {
    const sortedM3 = Array.from(dayM3.sort())
    const at = (share: number) => quantileSorted(sortedM3, share)!
    return {
      date: addDays(input.today, day),
      tenM3: at(0.1),
      fiftyM3: at(0.5),
      ninetyM3: at(0.9),
      reserveM3: reserveByDayM3[day]!,
    }
  })
  const firstBelow = found.firstBelow.sort()
  const dateBy = (share: number) => {
    const day = firstBelow[Math.ceil(share * firstBelow.length) - 1]!
    return Number.isFinite(day) ? addDays(input.today, day) : null
  }
  const fallen = firstBelow.filter(Number.isFinite).length
  return {
    weirId: weir.weirId,
    bands,
    chanceAboveReserve: 1 - fallen / firstBelow.length,
    firstBelow: { tenOn: dateBy(0.1), fiftyOn: dateBy(0.5), ninetyOn: dateBy(0.9) },
  }
}

function yearByYear(
  input: OutlookInput,
  prepared: PreparedWeir[],
  inOrder: <T extends { weirId: Id<'weir'> }>(found: T[]) => T[],
): StorageOutlook {
  const years = input.rainYears.map((year) => {
    const weirs: YearOutlook['weirs'] = []
    runStream(prepared, namedTrace(input, year), (index, run) => {
      const firstBelowOn = run.firstBelow === -1 ? null : addDays(input.today, run.firstBelow)
      weirs.push({ weirId: prepared[index]!.weir.weirId, availableM3: [...run.availableM3], firstBelowOn })
    })
    return { name: year.name, weirs: inOrder(weirs) }
  })
  const dates = Array.from({ length: outlookDays(input) }, (_, day) => addDays(input.today, day))
  const lines = inOrder(
    prepared.map(({ weir, reserveByDayM3 }) => ({ weirId: weir.weirId, reserveM3: [...reserveByDayM3] })),
  )
  return { cannotSay: null, kind: 'years', dates, weirs: lines, years }
}

export type SafeWeekly =
  | { cannotSay: ['no-rain-years'] }
  | { cannotSay: null; kind: 'quantile'; safeWeeklyM3: M3 }
  | { cannotSay: null; kind: 'years'; years: { name: string; largestWeeklyM3: M3 }[] }

/**
 * The largest steady weekly volume for crops from one weir with which it stays above its reserve line: each season's own
 * largest, then the quantile over seasons (`holdsIn` 0.9: nine seasons of ten bear it). Nothing when
 * already below. The plans of the weirs above are held as they are.
 */
export function safeWeeklyAbstractionM3({
  weirId,
  holdsIn = 0.9,
  ...input
}: OutlookInput & { weirId: Id<'weir'>; holdsIn?: number }): SafeWeekly {
  checkRain(input)
  if (!(holdsIn > 0 && holdsIn < 1)) throw new InputError('share-not-below-one', { share: holdsIn })
  if (input.rainYears.length === 0) return { cannotSay: ['no-rain-years'] }
  const prepared = prepareWeirs(input)
  const index = prepared.findIndex(({ weir }) => weir.weirId === weirId)
  if (index === -1) throw new RangeError(`no such weir: ${weirId}`)
  const above = prepared.slice(0, index + 1)
  if (input.rainYears.length < RAIN_YEARS_FOR_PERCENTAGES) {
    const years = input.rainYears.map((year) => ({
      name: year.name,
      largestWeeklyM3: largestWeeklyM3(above, namedTrace(input, year)),
    }))
    return { cannotSay: null, kind: 'years', years }
  }
  const largest = drawTraces(input).map((trace) => largestWeeklyM3(above, trace))
  largest.sort((a, b) => a - b)
  return { cannotSay: null, kind: 'quantile', safeWeeklyM3: quantileSorted(largest, 1 - holdsIn)! }
}

/** By halving: more drawn is never more left. The weir asked for is the last of the list. */
function largestWeeklyM3(above: readonly PreparedWeir[], trace: Trace): number {
  let fedM3: Float64Array | null = null
  runStream(above, trace, (index, _, fed) => {
    if (index === above.length - 1) fedM3 = fed
  })
  const asked = above.at(-1)!
  const holds = (weeklyM3: M3) => runTrace(asked, trace, fedM3, weeklyM3, true).firstBelow === -1
  if (!holds(0)) return 0
  // More than everything the weir can ever hold in a week is never steady.
  let [lowerM3, upperM3] = [0, asked.model.capacityM3 * trace.sandFactor(asked)]
  if (holds(upperM3)) return upperM3
  while (upperM3 - lowerM3 > 0.01) {
    const middleM3 = (lowerM3 + upperM3) / 2
    if (holds(middleM3)) lowerM3 = middleM3
    else upperM3 = middleM3
  }
  return lowerM3
}

function checkRain({ rainYears }: OutlookInput): void {
  for (const { name, rainMm } of rainYears) {
    if (rainMm.length < 365) throw new InputError('rain-year-too-short', { name, days: rainMm.length })
    if (rainMm.some((mm) => !(mm >= 0))) throw new InputError('rain-below-zero', { name })
  }
}
