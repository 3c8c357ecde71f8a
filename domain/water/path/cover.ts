import { addDays, type CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { M3 } from '../../units.ts'
import type { SandBody } from '../sand/body.ts'
import { drainableStorageM3, type VolumeRangeM3 } from '../sand/storage.ts'
import { daysToKeep, drinkingLineM3 } from './reserve.ts'
import { fromHeadDown, levelAtM, type StorageModel, type StoreLoss, stepDay, storageModel } from './store.ts'

export interface CoverWeir {
  weirId: Id<'weir'>
  feedsWeirId: Id<'weir'> | null
  body: SandBody
  offTakeLevelM: number
  waterLevelM: number
  levelErrorCm: number
  /** Lower still, where a reading waits to be borne out. */
  lowestLevelM?: number
  loss: StoreLoss
  /** Times that loss, as the last dry weeks call for; see `lossRise`. */
  rise: number
  /** Weeks of drinking kept beyond the late date of rain; see `extraDrinkingWeeks`. */
  extraWeeks: number
  /** The chosen part of the loss, 0..1, that reaches the weir below. */
  leakShare: number
  dailyDrinkingM3: M3
  weeklyIrrigationM3: M3
  /** Days of the week of that plan; seven where left out. */
  daysInWeek?: number
}

interface CoverWeek {
  fromOn: CalendarDate
  levelM: number
  availableM3: M3
  reserveM3: M3
}

interface CoverCase {
  /** First day on which no more stands than people and animals need to the late rain and the extra weeks beyond. */
  drinkingLineOn: CalendarDate | null
  daysToDrinkingLine: number | null
  /** First day with nothing above the off-take; null when that lies beyond the horizon. */
  emptyOn: CalendarDate | null
  daysToEmpty: number | null
  weeks: CoverWeek[]
}

export interface DaysOfCover {
  weirId: Id<'weir'>
  cautious: CoverCase
  middle: CoverCase
  hopeful: CoverCase
  /** The middle case when nothing is irrigated from today on. */
  ifIrrigationStops: CoverCase
}

interface CoverInput {
  /** Every weir of the stream, so that what one spills or leaks reaches the next. */
  weirs: CoverWeir[]
  today: CalendarDate
  lateRainOn: CalendarDate
  horizonDays?: number
}

/**
 * How long the water lasts without rain: the path of the store with the weekly plan as it is, day by day through each
 * weir's own curve, with the loss and the line for drinking of that path. Cautious is the low curve from the lowest
 * level that the reading allows, hopeful the high curve from the highest. Irrigation of a weir stops when it reaches its
 * drinking line. What a weir above spills or leaks is counted, what banks give is not; forecast rain is not water.
 * Levels in m, volumes in m3. Source: continuity; the line as in `drinkingLineM3`. Throws RangeError for a ring of weirs.
 */
export function daysOfCover(input: CoverInput): DaysOfCover[] {
  const cautious = stepCase(input, 'lowM3', -1, true)
  const middle = stepCase(input, 'likelyM3', 0, true)
  const hopeful = stepCase(input, 'highM3', 1, true)
  const stopped = stepCase(input, 'likelyM3', 0, false)
  return input.weirs.map(({ weirId }) => ({
    weirId,
    cautious: cautious.get(weirId)!,
    middle: middle.get(weirId)!,
    hopeful: hopeful.get(weirId)!,
    ifIrrigationStops: stopped.get(weirId)!,
  }))
}

interface Walk {
  weir: CoverWeir
  model: StorageModel
  storageM3: M3
  /** Least stored volume by the number of days for which drinking water must stand. */
  lineM3: Float64Array
  cover: CoverCase
}

function stepCase(
  input: CoverInput,
  curve: keyof VolumeRangeM3,
  errorSign: number,
  irrigates: boolean,
): Map<string, CoverCase> {
  const walks = fromHeadDown(input.weirs).map((weir) => startWalk(weir, input, curve, errorSign))
  for (let day = 0; day <= (input.horizonDays ?? 366); day++) {
    const fedM3 = new Map<string, number>()
    for (const walk of walks) {
      note(walk, day, input)
      const { weir } = walk
      const result = stepDay(walk.model, walk.storageM3, {
        rechargeM3: 0,
        fedFromAboveM3: fedM3.get(weir.weirId) ?? 0,
        drinkingM3: weir.dailyDrinkingM3,
        irrigationM3:
          irrigates && walk.cover.drinkingLineOn === null ? weir.weeklyIrrigationM3 / (weir.daysInWeek ?? 7) : 0,
        leakShare: weir.leakShare,
      })
      walk.storageM3 = result.storageM3
      if (weir.feedsWeirId !== null) fedM3.set(weir.feedsWeirId, (fedM3.get(weir.feedsWeirId) ?? 0) + result.toBelowM3)
    }
  }
  return new Map(walks.map(({ weir, cover }) => [weir.weirId, cover]))
}

function startWalk(
  weir: CoverWeir,
  { today, lateRainOn }: CoverInput,
  curve: keyof VolumeRangeM3,
  errorSign: number,
): Walk {
  const { body, dailyDrinkingM3, extraWeeks } = weir
  const model = storageModel({ ...weir, curve })
  const readM = weir.waterLevelM + (errorSign * weir.levelErrorCm) / 100
  const waterLevelM = errorSign < 0 ? Math.min(readM, weir.lowestLevelM ?? readM) : readM
  const days = daysToKeep({ fromOn: today, lateRainOn, extraWeeks })
  return {
    weir,
    model,
    storageM3: drainableStorageM3({ body, waterLevelM })[curve],
    lineM3: drinkingLineM3({ store: model, dailyDrinkingM3, days }),
    cover: { drinkingLineOn: null, daysToDrinkingLine: null, emptyOn: null, daysToEmpty: null, weeks: [] },
  }
}

/** Writes down what the morning of a day finds, before anything is drawn. */
function note(walk: Walk, day: number, { today, lateRainOn }: CoverInput): void {
  const { cover, model, weir, storageM3, lineM3 } = walk
  const date = addDays(today, day)
  const availableM3 = Math.max(0, storageM3 - model.offTakeM3)
  const keptM3 = lineM3[daysToKeep({ fromOn: date, lateRainOn, extraWeeks: weir.extraWeeks })]!
  if (cover.drinkingLineOn === null && storageM3 <= keptM3)
    Object.assign(cover, { drinkingLineOn: date, daysToDrinkingLine: day })
  if (cover.emptyOn === null && availableM3 <= 1e-9) Object.assign(cover, { emptyOn: date, daysToEmpty: day })
  if (day % (weir.daysInWeek ?? 7) === 0) {
    const reserveM3 = Math.max(0, keptM3 - model.offTakeM3)
    cover.weeks.push({ fromOn: date, levelM: levelAtM(model, storageM3), availableM3, reserveM3 })
  }
}
