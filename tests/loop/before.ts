import type { WidePolicy } from './drinking/stores.ts'
import { cropOn } from './harvest/crops.ts'
import { seenM3, weekly } from './harvest/habits.ts'
import { type Policy, type Run, restsOf, seenLevelM } from './harvest/season.ts'
import { LAST_CROP_DAY, LATE_DAY, type TruePlot, type TrueSeason } from './harvest/valley.ts'
import { sharedM3, sharedWeek } from './harvest/week.ts'
import { meanRest, type Rest } from './rest.ts'

/**
 * The formulas of the book before they were judged by their harvest, kept as they stood so that what came after can be
 * compared with them: an even share of what stands less a straight line of today's loss, and the week's use of the crop less
 * the past week's rain. No page reckons with them.
 */
export const before: Policy = weekly((season) => {
  const soFar = { pastWeeks: [] }
  const evenShare = evenShareOf(season)
  return (run, week) => {
    const terms = {
      releaseM3: season.weirs.map((_, weir) => evenShare(run, weir, week)),
      needM3: season.plots.map((plot) => needBefore(run, plot)),
    }
    return sharedM3(run, sharedWeek(run, week, terms, soFar)).map((volumeM3) => [volumeM3])
  }
})

/** What a weir gave for a week, m3. */
export function evenShareOf(season: TrueSeason): (run: Run, at: number, week: number) => number {
  const restsByWeir = season.weirs.map((): Rest[] => [])
  return (run, at, week) => {
    const rests = restsByWeir[at]!
    rests.push(...restsOf(run, at, week))
    const weir = season.weirs[at]!
    const levelM = Math.min(seenLevelM(run, at, week), weir.store.sand.heightM)
    const lossM3PerDay = seenM3(weir, levelM) - seenM3(weir, levelM - meanRest(rests).cmPerDay / 100)
    return evenShareM3({
      availableM3: seenM3(weir, levelM) - seenM3(weir, weir.offTakeLevelM),
      drinkingM3PerDay: weir.drinkingM3PerDay,
      lossM3PerDay,
      daysToLate: LATE_DAY - run.day,
      weeksLeft: (LAST_CROP_DAY + 1 - run.day) / 7,
    })
  }
}

/**
 * The same in the second world, whose season of crops ends a fortnight before the late day. With `extraDays` drinking and loss are
 * kept for so much longer, which shows what its yield comes to once it is as careful as ours.
 */
export const beforeWide =
  (extraDays = 0): WidePolicy =>
  (season) => {
    const rests: Rest[] = []
    const m3 = (levelM: number) => seenM3(season, levelM)
    return ({ day, levelM, rests: measured }) => {
      rests.push(...measured)
      return evenShareM3({
        availableM3: m3(levelM) - m3(season.offTakeLevelM),
        drinkingM3PerDay: season.drinkingM3PerDay,
        lossM3PerDay: m3(levelM) - m3(levelM - meanRest(rests).cmPerDay / 100),
        daysToLate: season.lateDay + extraDays - day,
        weeksLeft: (season.lateDay - 14 - day) / 7,
      })
    }
  }

/** (available - reserve from the end of this week on) / weeks left, and drinking first. */
function evenShareM3(store: {
  availableM3: number
  drinkingM3PerDay: number
  lossM3PerDay: number
  daysToLate: number
  weeksLeft: number
}): number {
  const availableM3 = Math.max(0, store.availableM3)
  const keepM3 = Math.max(0, (store.drinkingM3PerDay + store.lossM3PerDay) * Math.max(0, store.daysToLate - 7))
  const planM3 = Math.max(0, (availableM3 - keepM3) / Math.max(1, store.weeksLeft))
  return Math.max(planM3, Math.min(availableM3, 7 * store.drinkingM3PerDay))
}

/** Past rain is set against next week's use, whether the crop has drunk it or not; a shower under 5 mm counts nothing. */
export function needBefore({ season, day }: Run, plot: TruePlot): number | null {
  let kcDays = 0
  let rootM = 0
  for (let ahead = day; ahead < day + 7; ahead++) {
    const on = cropOn(plot.crop, ahead - plot.sownDay)
    kcDays += on?.kc ?? 0
    rootM ||= on?.rootM ?? 0
  }
  if (kcDays === 0) return null
  let [etoMm, rainMm] = [0, 0]
  for (let past = day - 7; past < day; past++) {
    etoMm += (past < 0 ? season.usualEtoMm[0]! : season.seenEtoMm[past]!) / 7
    const fellMm = past < 0 ? 0 : season.seenRainMm[past]!
    rainMm += fellMm >= 5 ? 0.75 * fellMm : 0
  }
  const netMm = Math.max(0, kcDays * etoMm - Math.min(rainMm, rootM * plot.tableAvailableMmPerM))
  return (netMm * plot.areaM2) / 1000 / plot.tableEfficiency
}
