import { addDays, type CalendarDate, dayOfYear, daysBetween } from '../../calendar.ts'
import { seededRandom } from '../../random.ts'
import type { M3 } from '../../units.ts'
import type { CoverWeir } from '../path/cover.ts'
import { daysToKeep, drinkingLineM3 } from '../path/reserve.ts'
import { fromHeadDown, type StorageModel, stepDay, storageModel } from '../path/store.ts'
import { drainableStorageM3 } from '../sand/storage.ts'

export interface OutlookWeir extends CoverWeir {
  /** Water that stays in the sand for each millimetre of a day's rain beyond `rechargeFromMm`. */
  rechargeM3PerMm: number
  rechargeFromMm: number
}

/** Daily rain of one year of the group's own record, 1 January first. */
export interface RainYear {
  name: string
  rainMm: readonly number[]
}

export interface OutlookInput {
  weirs: OutlookWeir[]
  today: CalendarDate
  seasonEndOn: CalendarDate
  lateRainOn: CalendarDate
  rainYears: readonly RainYear[]
  seed: number
  traces?: number
}

/** One weir made ready: its likely curve, its store now by three cases and its reserve line. */
export interface PreparedWeir {
  weir: OutlookWeir
  model: StorageModel
  startM3: { low: number; likely: number; high: number }
  reserveByDayM3: Float64Array
}

/** One thinkable season: a rain year, shifted, and one guess at how much all the sand really holds. */
export interface Trace {
  rainMm: Float64Array
  sandFactor: (weir: PreparedWeir) => number
}

/** What is steady must hold for four weeks at least, however near the season's end. Common practice, no source. */
const LEAST_DAYS = 28

/** Days looked ahead: to the end of the season, and four weeks at least, since people drink on. */
export function outlookDays({ today, seasonEndOn }: OutlookInput): number {
  return Math.max(LEAST_DAYS, daysBetween(today, seasonEndOn) + 1)
}

/** The weirs from the head down, with all that is the same in every trace: storage model, storage at the start and reserve line, in m3. */
export function prepareWeirs(input: OutlookInput): PreparedWeir[] {
  const days = outlookDays(input)
  const { today, lateRainOn } = input
  return fromHeadDown(input.weirs).map((weir) => {
    const { body, waterLevelM, levelErrorCm, dailyDrinkingM3, extraWeeks } = weir
    const at = (errorCm: number) => drainableStorageM3({ body, waterLevelM: waterLevelM + errorCm / 100 })
    const model = storageModel(weir)
    const keep = (day: number) => daysToKeep({ fromOn: addDays(today, day), lateRainOn, extraWeeks })
    const lineM3 = drinkingLineM3({ store: model, dailyDrinkingM3, days: keep(0) })
    return {
      weir,
      model,
      startM3: { low: at(-levelErrorCm).lowM3, likely: at(0).likelyM3, high: at(levelErrorCm).highM3 },
      reserveByDayM3: Float64Array.from({ length: days }, (_, day) => lineM3[keep(day)]! - model.offTakeM3),
    }
  })
}

const MOST_SHIFT_DAYS = 10
/** Steps of the golden section lie evenly over the whole, however many are taken (Weyl 1916, memory). */
const GOLDEN_PART = (Math.sqrt(5) - 1) / 2

/** As many thinkable seasons as asked for, the same for the same seed. */
export function drawTraces(input: OutlookInput): Trace[] {
  const random = seededRandom(input.seed)
  const first = random()
  return Array.from({ length: input.traces ?? 1000 }, (_, at) => {
    const year = input.rainYears[Math.floor(random() * input.rainYears.length)]!
    const shift = Math.floor((2 * MOST_SHIFT_DAYS + 1) * random()) - MOST_SHIFT_DAYS
    const chance = (first + at * GOLDEN_PART) % 1
    return { rainMm: rainFrom(input, year, shift), sandFactor: ({ startM3 }) => drawnFactor(startM3, chance) }
  })
}

/** The year as it fell, with the likely sand. */
export function namedTrace(input: OutlookInput, year: RainYear): Trace {
  return { rainMm: rainFrom(input, year, 0), sandFactor: () => 1 }
}

interface TraceRun {
  availableM3: Float64Array
  toBelowM3: Float64Array
  /** First day on which less stands above the off-take than the reserve asks; -1 for none. */
  firstBelow: number
}

/**
 * One weir through one season, day by day. Sand that holds a fifth more than likely is the same weir with every volume
 * a fifth larger, so the store is stepped on the likely curve and all flows are scaled.
 */
export function runTrace(
  prepared: PreparedWeir,
  trace: Trace,
  fedM3: Float64Array | null,
  weeklyIrrigationM3: M3,
  stopsWhenBelow = false,
): TraceRun {
  const { weir, model, startM3, reserveByDayM3 } = prepared
  const days = reserveByDayM3.length
  const run: TraceRun = { availableM3: new Float64Array(days), toBelowM3: new Float64Array(days), firstBelow: -1 }
  const factor = trace.sandFactor(prepared)
  const flows = {
    rechargeM3: 0,
    fedFromAboveM3: 0,
    drinkingM3: weir.dailyDrinkingM3 / factor,
    irrigationM3: weeklyIrrigationM3 / (weir.daysInWeek ?? 7) / factor,
    leakShare: weir.leakShare,
  }
  let storageM3 = startM3.likely
  for (let day = 0; day < days; day++) {
    flows.rechargeM3 = (weir.rechargeM3PerMm * Math.max(0, trace.rainMm[day]! - weir.rechargeFromMm)) / factor
    flows.fedFromAboveM3 = fedM3 ? fedM3[day]! / factor : 0
    const availableM3 = Math.max(0, storageM3 - model.offTakeM3) * factor
    run.availableM3[day] = availableM3
    if (run.firstBelow === -1 && availableM3 < reserveByDayM3[day]! - 1e-9) {
      run.firstBelow = day
      if (stopsWhenBelow) return run
    }
    const result = stepDay(model, storageM3, flows)
    storageM3 = result.storageM3
    run.toBelowM3[day] = result.toBelowM3 * factor
  }
  return run
}

/** Runs the whole stream through one season; calls back with each weir's run, from the head down. */
export function runStream(
  prepared: readonly PreparedWeir[],
  trace: Trace,
  found: (weirIndex: number, run: TraceRun, fedM3: Float64Array | null) => void,
): void {
  const fedByWeir = new Map<string, Float64Array>()
  prepared.forEach((one, index) => {
    const fedM3 = fedByWeir.get(one.weir.weirId) ?? null
    const run = runTrace(one, trace, fedM3, one.weir.weeklyIrrigationM3)
    found(index, run, fedM3)
    const below = one.weir.feedsWeirId
    if (below === null) return
    const already = fedByWeir.get(below)
    fedByWeir.set(below, already ? already.map((m3, day) => m3 + run.toBelowM3[day]!) : run.toBelowM3)
  })
}

function rainFrom(input: OutlookInput, year: RainYear, shift: number): Float64Array {
  const first = dayOfYear(input.today) - 1 + shift
  const length = year.rainMm.length
  return Float64Array.from(
    { length: outlookDays(input) },
    (_, day) => year.rainMm[(((first + day) % length) + length) % length] ?? 0,
  )
}

/**
 * As a factor on the likely: half of the seasons hold less than it and half more, so that the middle of the outlook begins where
 * every other page does; towards low and high they thin out evenly.
 */
function drawnFactor({ low, likely, high }: PreparedWeir['startM3'], chance: number): number {
  if (!(likely > 0)) return 1
  const drawn =
    chance < 0.5 ? low + (likely - low) * Math.sqrt(2 * chance) : high - (high - likely) * Math.sqrt(2 * (1 - chance))
  return Math.max(drawn / likely, 1e-6)
}
