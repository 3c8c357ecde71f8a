import { addDays, type CalendarDate } from '../../domain/calendar.ts'

import { fittedLoss } from '../../domain/water/path/loss-from-rests.ts'
import { lossRise, type SeenStretch } from '../../domain/water/path/loss-rise.ts'
import { CAREFUL, extraDrinkingWeeks } from '../../domain/water/path/reserve.ts'
import { levelCurve, type StorageModel, type StoreLoss, storageModel } from '../../domain/water/path/store.ts'
import { storePath } from '../../domain/water/path/store-path.ts'
import { type SandBody, wedgeSandBody, withLevelVolumeTable } from '../../domain/water/sand/body.ts'
import { drainableStorageM3, type VolumeRangeM3 } from '../../domain/water/sand/storage.ts'
import { meanRest, type Rest } from './rest.ts'

const FIRST_DAY = '2026-05-01'

/** Days of a season as the book writes them. */
export const dateOf = (day: number): CalendarDate => addDays(FIRST_DAY, day)

/** What the weir's book is kept with, and what is tried against it. */
export interface ReleaseSettings {
  /** Weeks of drinking kept beyond the late day; null as the book keeps them for its grade. */
  extraWeeks: number | null
  holdsRise: boolean
  /** Looks back whether the sand lost more than was expected. */
  looksBack: boolean
  /**
   * From all rests at their levels, with care for the doubt left in them or without; from their mean alone, half of it by head;
   * or as it truly is.
   */
  loss: 'rests' | 'rests without care' | 'mean rest' | 'true'
  /** Which volume of the range counts. */
  curve: keyof VolumeRangeM3
  /** Whether the path ends 5 cm above the off-take or at its mouth. */
  floor: 'margin' | 'off-take'
}

export const RELEASE: ReleaseSettings = {
  extraWeeks: null,
  holdsRise: true,
  looksBack: true,
  loss: 'rests',
  curve: 'likelyM3',
  floor: 'margin',
}

/** The book of one weir, as its readings fill it. */
export interface WeirBook {
  body: SandBody
  offTakeLevelM: number
  drinkingM3PerDay: number
  lateDay: number
  rememberedWeeks: number | null
  share: number | null
  store: { of: number; model: StorageModel } | null
  stretches: SeenStretch[]
  rests: Rest[]
  last: { day: number; storedM3: number } | null
}

/** A morning's reading, with what the log says was drawn since the one before, drinking included. */
export interface SeenWeir {
  day: number
  levelM: number
  drawnM3: number
  /** Rests of the pump that were measured since the last week. */
  rests: readonly Rest[]
  /** Open water in the season's weather as the group knows it, mm a day. */
  openWaterMm: number
  /** Gross need by week, this one first. */
  needsM3: readonly number[]
  /** What the sand truly loses in a day at a level, m3: for a plan that knows it. */
  trueLossM3?: (levelM: number) => number
}

export function weirBook(known: {
  tableM3: readonly { levelM: number; m3: number }[]
  offTakeLevelM: number
  drinkingM3PerDay: number
  lateDay: number
  upperYield: number
  rememberedWeeks?: number | null
  isGuessed?: boolean
}): WeirBook {
  const heightM = known.tableM3.at(-1)!.levelM
  const wedge = wedgeSandBody({
    crestHeightM: heightM,
    crestWidthM: 20,
    bedSlope: 0.02,
    valleyShape: 'parabola',
    crestLevelM: heightM,
    specificYield: {
      low: 0.6 * known.upperYield,
      likely: known.upperYield,
      high: Math.min(0.5, 1.4 * known.upperYield),
    },
  })
  const rows = known.tableM3.map(({ levelM, m3 }) => ({ levelM, lowM3: 0.75 * m3, likelyM3: m3, highM3: 1.25 * m3 }))
  const body = withLevelVolumeTable({ body: wedge, rows, grade: known.isGuessed ? 'guessed' : 'probed' })
  const { offTakeLevelM, drinkingM3PerDay, lateDay, rememberedWeeks = null } = known
  return {
    body,
    offTakeLevelM,
    drinkingM3PerDay,
    lateDay,
    rememberedWeeks,
    share: null,
    store: null,
    stretches: [],
    rests: [],
    last: null,
  }
}

/** What our own path of the store releases for the week, m3, drinking included. */
export function releaseM3(weir: WeirBook, seen: SeenWeir, settings: ReleaseSettings): number {
  const { body, drinkingM3PerDay, lateDay, rememberedWeeks } = weir
  const levelM = Math.min(Math.max(seen.levelM, body.bedLevelM), body.crestLevelM)
  const storedM3 = drainableStorageM3({ body, waterLevelM: levelM })[settings.curve]
  noteStretch(weir, seen, { levelM, storedM3 })
  weir.rests.push(...seen.rests)
  const calm = calmStore(weir, lossOf(weir, seen, settings), settings)
  if (settings.loss === 'true') calm.lossM3 = calm.levelM.map(seen.trueLossM3!)
  const rise = settings.looksBack ? (lossRise({ store: calm, stretches: weir.stretches })?.rise ?? 1) : 1
  const path = storePath({
    store: { ...calm, rise },
    storedM3,
    weekStartOn: dateOf(seen.day),
    lateRainOn: dateOf(lateDay),
    extraWeeks: settings.extraWeeks ?? extraDrinkingWeeks({ ...CAREFUL, rememberedWeeks, grade: body.grade }),
    dailyDrinkingM3: drinkingM3PerDay,
    needsM3: seen.needsM3,
    before: settings.holdsRise && weir.share !== null ? { share: weir.share, weeksAgo: 1 } : null,
  })
  weir.share = path.share
  return path.releaseM3
}

function lossOf({ rests }: WeirBook, { openWaterMm }: SeenWeir, { loss }: ReleaseSettings): StoreLoss {
  const mean = meanRest(rests)
  if (loss === 'mean rest') return { fallCmPerDay: mean.cmPerDay, measuredAtLevelM: mean.atLevelM }
  return {
    openWaterMm,
    rests: rests.map(({ days, atLevelM, cmPerDay }) => {
      const half = (cmPerDay * days) / 200
      return { days, startLevelM: atLevelM + half, endLevelM: atLevelM - half }
    }),
  }
}

/** The same until a new rest tells another loss. */
function calmStore(weir: WeirBook, loss: StoreLoss, settings: ReleaseSettings): StorageModel {
  const of = weir.rests.length
  const { body, offTakeLevelM } = weir
  if (weir.store?.of !== of) {
    const model = storageModel({ body, offTakeLevelM, levelErrorCm: 2, loss, curve: settings.curve })
    if (settings.floor === 'off-take') model.floorM3 = model.offTakeM3
    if (settings.loss === 'rests without care' && 'rests' in loss) {
      const { at } = fittedLoss(levelCurve(body), loss)
      model.lossM3 = model.levelM.map((levelM) => at(levelM).evaporationM3 + at(levelM).leakM3)
    }
    weir.store = { of, model }
  }
  return { ...weir.store.model }
}

function noteStretch(weir: WeirBook, { day, drawnM3 }: SeenWeir, now: { levelM: number; storedM3: number }): void {
  if (weir.last)
    weir.stretches.push({
      kind: 'dry',
      fromOn: dateOf(weir.last.day),
      toOn: dateOf(day),
      days: day - weir.last.day,
      openingM3: weir.last.storedM3,
      closingM3: now.storedM3,
      closingLevelM: now.levelM,
      drawnM3,
    })
  weir.last = { day, storedM3: now.storedM3 }
}
