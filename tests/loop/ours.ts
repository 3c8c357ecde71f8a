import { type CropPlan, cropByKey, irrigationMethodByKey, soilByKey, weeklyNeed } from '../../domain/crops/index.ts'
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
    const terms = {
      releaseM3: bodies.map((body, weir) => releaseM3(run, body, weir, week)),
      needM3: plans.map((plan, at) => needM3(run, plan, season.plots[at]!, months)),
    }
    return sharedM3(run, week, terms, soFar).map((volumeM3) => [volumeM3])
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

function needM3(run: Run, plan: CropPlan, plot: TruePlot, monthTableMmPerDay: number[]): number | null {
  const need = weeklyNeed({
    plan,
    weekStartsOn: dateOf(run.day),
    days: bookedDays(run),
    availableMmPerM: soilByKey(plot.soilKey)!.availableMmPerM.likely,
    efficiency: irrigationMethodByKey(plot.methodKey)!.efficiency,
    monthTableMmPerDay,
    missingRain: 'counts-nothing',
  })
  return need.known && need.stage !== null ? need.grossM3.likely : null
}

function bookedDays({ season, day }: Run) {
  return Array.from({ length: day }, (_, past) => ({
    date: dateOf(past),
    etoMm: season.seenEtoMm[past]!,
    etoErrorFraction: 0.07,
    rainMm: season.seenRainMm[past]!,
  }))
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
