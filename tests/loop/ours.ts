import {
  type CropPlan,
  cropByKey,
  irrigationMethodByKey,
  soilByKey,
  type WeekNeed,
  weekNeed,
} from '../../domain/crops/index.ts'
import {
  dailyLossM3,
  releasableThisWeekM3,
  type SandBody,
  storageNow,
  wedgeSandBody,
  withLevelVolumeTable,
} from '../../domain/water/index.ts'
import { weekly } from './policies.ts'
import { type Policy, type Run, seenFallCm, seenLevelM } from './season.ts'
import { LAST_CROP_DAY, LATE_DAY, type TruePlot, type TrueSeason, type TrueWeir } from './valley.ts'
import { dateOf, sharedM3 } from './week.ts'

/** Our own public functions, called as the pages call them, with what the group of this valley can know. */
export const ours: Policy = weekly((season) => {
  const bodies = season.weirs.map(bodyOf)
  const plans = season.plots.map(planOf)
  const months = monthTable(season)
  const soFar = { pastWeeks: [] }
  return (run, week) => {
    const needs = plans.map((plan, at) => needOf(run, plan, at, months))
    const terms = {
      releaseM3: bodies.map((body, weir) => releaseM3(run, body, weir, week)),
      needM3: needs.map((need) => (need && need.stage !== null ? need.grossM3.likely : null)),
    }
    return sharedM3(run, week, terms, soFar).map((volumeM3, at) => turnsOf(volumeM3, needs[at]!))
  }
})

function releaseM3(run: Run, body: SandBody, at: number, week: number): number {
  const { drinkingM3PerDay, offTakeLevelM } = run.season.weirs[at]!
  const today = dateOf(run.day)
  const markLevelM = body.crestLevelM + 0.5
  const depthToWaterCm = 100 * (markLevelM - seenLevelM(run, at, week))
  const reading = { readOn: today, readHour: 6, depthToWaterCm, hoursSincePumping: 12 }
  const storage = storageNow({ body, offTakeLevelM, markLevelM, reading, today })
  if (storage.cannotSay) return 0
  const { available, grade, waterLevelM } = storage
  return releasableThisWeekM3({
    ...{ available, grade, weekStartOn: today },
    seasonEndOn: dateOf(LAST_CROP_DAY),
    lateRainOn: dateOf(LATE_DAY),
    dailyDrinkingM3: drinkingM3PerDay,
    dailyLossM3: dailyLossM3({ body, waterLevelM, loss: { fallCmPerDay: seenFallCm(run, at, week) } }),
  }).releasableM3
}

function needOf(run: Run, plan: CropPlan, at: number, monthTableMmPerDay: number[]): WeekNeed | null {
  const plot = run.season.plots[at]!
  const need = weekNeed({
    plan,
    today: dateOf(run.day),
    weekStartsOn: dateOf(run.day),
    days: wateredDays(run, plot, at),
    bookFromOn: dateOf(0),
    availableMmPerM: soilByKey(plot.soilKey)!.availableMmPerM,
    rootedPart: irrigationMethodByKey(plot.methodKey)!.rootedPart,
    efficiency: irrigationMethodByKey(plot.methodKey)!.efficiency,
    monthTableMmPerDay,
    unwrittenRain: 'none',
  })
  return need.known ? need : null
}

/** Weather and water as written. Seed is put into a bed that the rains have left moist, so none is brought for it. */
function wateredDays({ season, day, givenM3 }: Run, { areaM2 }: TruePlot, at: number) {
  return Array.from({ length: day }, (_, past) => ({
    date: dateOf(past),
    etoMm: season.seenEtoMm[past]!,
    etoErrorFraction: 0.07,
    rainMm: season.seenRainMm[past]!,
    broughtMm: (1000 * givenM3[past * season.plots.length + at]!) / areaM2,
  }))
}

function turnsOf(volumeM3: number, need: WeekNeed | null): number[] {
  const turns = need?.turns ?? 1
  const first = need && need.turns > 1 ? need.firstTurnPart : 1
  return Array.from({ length: turns }, (_, turn) => volumeM3 * (turn === 0 ? first : (1 - first) / (turns - 1)))
}

function planOf({ crop, areaM2, sownDay }: TruePlot): CropPlan {
  const known = cropByKey(crop.key)!
  return { crop: { ...known, stageDays: known.stageDays! }, areaM2, plantedOn: dateOf(sownDay) }
}

/** Usual reference evapotranspiration by month as the group has written it, January first. */
function monthTable({ usualEtoMm }: TrueSeason): number[] {
  const sums = Array.from({ length: 12 }, () => ({ mm: 0, days: 0 }))
  usualEtoMm.forEach((mm, day) => {
    const month = sums[Number(dateOf(day).slice(5, 7)) - 1]!
    month.mm += mm
    month.days++
  })
  return sums.map(({ mm, days }) => (days > 0 ? mm / days : usualEtoMm[0]!))
}

function bodyOf({ store, tableM3 }: TrueWeir): SandBody {
  const wedge = wedgeSandBody({
    crestHeightM: store.sand.heightM,
    crestWidthM: 20,
    bedSlope: 0.02,
    valleyShape: 'parabola',
    crestLevelM: store.sand.heightM,
    specificYield: { low: 0.15, likely: 0.22, high: 0.3 },
  })
  const rows = tableM3.map(({ levelM, m3 }) => ({ levelM, lowM3: 0.75 * m3, likelyM3: m3, highM3: 1.25 * m3 }))
  return withLevelVolumeTable({ body: wedge, rows, grade: 'probed' })
}
