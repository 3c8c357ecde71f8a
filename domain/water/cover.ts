import { addDays, type CalendarDate } from '../calendar.ts'
import { atStorage, fromHeadDown, type StorageModel, stepDay, storageModel } from './daily-model.ts'
import { dailyLossM3, type WeirLoss } from './loss/loss.ts'
import { reserveM3 } from './reserve.ts'
import type { SandBody } from './sand/body.ts'
import { drainableStorageM3, type VolumeRangeM3 } from './sand/storage.ts'

export interface CoverWeir {
  weirId: string
  feedsWeirId: string | null
  body: SandBody
  offTakeLevelM: number
  waterLevelM: number
  levelErrorCm: number
  loss: WeirLoss
  /** The chosen part of the loss, 0..1, that reaches the weir below. */
  leakShare: number
  dailyDrinkingM3: number
  weeklyIrrigationM3: number
}

interface CoverWeek {
  fromOn: CalendarDate
  levelM: number
  availableM3: number
  reserveM3: number
}

interface CoverCase {
  /** First day on which no more stands above the off-take than people and animals need to the late rain. */
  drinkingLineOn: CalendarDate | null
  daysToDrinkingLine: number | null
  /** First day with nothing above the off-take; null when that lies beyond the horizon. */
  emptyOn: CalendarDate | null
  daysToEmpty: number | null
  weeks: CoverWeek[]
}

export interface DaysOfCover {
  weirId: string
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
 * How long the water lasts without rain, day by day through each weir's own curve. Cautious is the low curve from the
 * lowest level that the reading allows, hopeful the high curve from the highest. Irrigation of a weir stops when it
 * reaches its drinking line. Forecast rain is not water. Source: continuity; the reserve line as in `reserveM3`.
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
  storageM3: number
  dailyLossM3: number
  cover: CoverCase
}

function stepCase(
  input: CoverInput,
  curve: keyof VolumeRangeM3,
  errorSign: number,
  irrigates: boolean,
): Map<string, CoverCase> {
  const walks = fromHeadDown(input.weirs).map((weir) => startWalk(weir, curve, errorSign))
  for (let day = 0; day <= (input.horizonDays ?? 366); day++) {
    const fedM3 = new Map<string, number>()
    for (const walk of walks) {
      note(walk, day, input)
      const { weir } = walk
      const result = stepDay(walk.model, walk.storageM3, {
        rechargeM3: 0,
        fedFromAboveM3: fedM3.get(weir.weirId) ?? 0,
        drinkingM3: weir.dailyDrinkingM3,
        irrigationM3: irrigates && walk.cover.drinkingLineOn === null ? weir.weeklyIrrigationM3 / 7 : 0,
        leakShare: weir.leakShare,
      })
      walk.storageM3 = result.storageM3
      if (weir.feedsWeirId !== null) fedM3.set(weir.feedsWeirId, (fedM3.get(weir.feedsWeirId) ?? 0) + result.toBelowM3)
    }
  }
  return new Map(walks.map(({ weir, cover }) => [weir.weirId, cover]))
}

function startWalk(weir: CoverWeir, curve: keyof VolumeRangeM3, errorSign: number): Walk {
  const { body, offTakeLevelM, loss } = weir
  const startLevelM = weir.waterLevelM + (errorSign * weir.levelErrorCm) / 100
  return {
    weir,
    model: storageModel({ body, offTakeLevelM, loss, curve }),
    storageM3: drainableStorageM3({ body, waterLevelM: startLevelM })[curve],
    dailyLossM3: dailyLossM3({ body, waterLevelM: weir.waterLevelM, loss }),
    cover: { drinkingLineOn: null, daysToDrinkingLine: null, emptyOn: null, daysToEmpty: null, weeks: [] },
  }
}

/** Writes down what the morning of a day finds, before anything is drawn. */
function note(walk: Walk, day: number, { today, lateRainOn }: CoverInput): void {
  const { cover, model, weir } = walk
  const date = addDays(today, day)
  const availableM3 = Math.max(0, walk.storageM3 - model.offTakeM3)
  const keepM3 = reserveM3({
    dailyDrinkingM3: weir.dailyDrinkingM3,
    dailyLossM3: walk.dailyLossM3,
    fromDate: date,
    lateRainOn,
  })
  if (cover.drinkingLineOn === null && availableM3 <= keepM3)
    Object.assign(cover, { drinkingLineOn: date, daysToDrinkingLine: day })
  if (cover.emptyOn === null && availableM3 <= 1e-9) Object.assign(cover, { emptyOn: date, daysToEmpty: day })
  if (day % 7 === 0)
    cover.weeks.push({
      fromOn: date,
      levelM: atStorage(model.levelM, model.capacityM3, walk.storageM3),
      availableM3,
      reserveM3: keepM3,
    })
}
