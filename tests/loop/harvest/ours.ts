import { cropByKey } from '../../../domain/crops/data/crops.ts'
import { irrigationMethodByKey } from '../../../domain/crops/data/irrigation-methods.ts'
import { soilByKey } from '../../../domain/crops/data/soils.ts'
import { type WeekNeed, weekNeed } from '../../../domain/crops/need/week-need.ts'
import type { CropPlan } from '../../../domain/crops/plan.ts'
import { seasonNeed, weeklyGrossM3 } from '../../../domain/crops/season/need.ts'
import type { Range } from '../../../domain/units.ts'
import { evenShareOf, needBefore } from '../before.ts'
import { dateOf, RELEASE, type ReleaseSettings, releaseM3, type WeirBook, weirBook } from '../release.ts'
import { lossM3PerDay } from '../sand.ts'
import { bookOpenHours } from './booking.ts'
import { weekly } from './habits.ts'
import { type Policy, type Run, restsOf, seenLevelM } from './season.ts'
import { laidByDaysLeft, laidEvenly } from './spacing.ts'
import { LAST_CROP_DAY, LATE_DAY, SEASON_DAYS, type TruePlot, type TrueSeason, WEEKS } from './valley.ts'
import { type SeasonSoFar, type SharedWeek, type Sharing, sharedM3, sharedWeek } from './week.ts'

/** What is tried against each other; `OURS` is what the book reckons with. */
export interface Settings extends ReleaseSettings {
  mostTurns: number
  /** Whoever missed a turn books free hours later in the week. */
  booksOpenHours: boolean
  /** Turns lie in the order of the days left, as the timetable lays them; else evenly. */
  laysByDaysLeft: boolean
  /** Until when the path lasts: the latest day that the group remembers and some weeks beyond, or the day that truly comes. */
  lateDay: 'remembered' | 'true'
  release: 'path' | 'even share'
  /** What this week's need is: what roots lack, or the week's use less last week's rain. */
  need: 'lack of the roots' | 'use less rain'
  /** Which side of its range counts. */
  needSide: keyof Range
  /** Need of later weeks by what is declared, or as if grass grew on all of the ground. */
  laterNeed: 'declared' | 'grass'
  sharing: Sharing
}

export const OURS: Settings = {
  ...RELEASE,
  mostTurns: 2,
  booksOpenHours: true,
  laysByDaysLeft: true,
  lateDay: 'remembered',
  release: 'path',
  need: 'lack of the roots',
  needSide: 'likely',
  laterNeed: 'declared',
  sharing: 'by need',
}

/** Our own public functions, called as the pages call them, with what the group of this valley can know. */
export function oursWith(changed: Partial<Settings> = {}): Policy {
  const settings = { ...OURS, ...changed }
  return weekly((season) => {
    const book = bookOf(season, settings)
    const evenShare = evenShareOf(season)
    let shared: SharedWeek | null = null
    let daysLeft: (number | null)[] = []
    const planWeek = (run: Run, week: number) => {
      const needs = book.plots.map((plot) => needOf(run, plot, book.monthTable, settings.mostTurns))
      daysLeft = needs.map((need) => need?.daysLeft.likely ?? null)
      const needM3 = needs.map((need, at) => {
        return (
          need &&
          (settings.need === 'use less rain' ? needBefore(run, season.plots[at]!) : need.grossM3[settings.needSide])
        )
      })
      const released = season.weirs.map((_, weir) =>
        settings.release === 'path'
          ? releaseOf(run, book, { weir, week, needM3, settings })
          : evenShare(run, weir, week),
      )
      shared = sharedWeek(run, week, { releaseM3: released, needM3 }, { ...book, sharing: settings.sharing })
      return sharedM3(run, shared).map((volumeM3, at) => turnsOf(volumeM3, needs[at]!))
    }
    return {
      planWeek,
      layOut: settings.laysByDaysLeft ? (turns) => laidByDaysLeft(season.plots, daysLeft)(turns) : laidEvenly,
      bookDay: settings.booksOpenHours ? (run, left, turnsM3) => bookOpenHours(run, shared!, left, turnsM3) : undefined,
    }
  })
}

export const ours: Policy = oursWith()

interface Book {
  weirs: WeirBook[]
  plots: BookPlot[]
  monthTable: number[]
  pastWeeks: SeasonSoFar['pastWeeks']
}

interface BookPlot {
  plot: TruePlot
  at: number
  plan: CropPlan
  /** Gross need by week of the season with the usual weather, m3. */
  usualM3: number[]
}

function bookOf(season: TrueSeason, { lateDay, laterNeed }: Settings): Book {
  const monthTable = monthTableOf(season)
  return {
    weirs: season.weirs.map((weir) =>
      weirBook({
        ...weir,
        lateDay: lateDay === 'true' ? season.onsetDay : LATE_DAY,
        rememberedWeeks: 1,
        upperYield: weir.store.sand.upperYield,
      }),
    ),
    plots: season.plots.map((plot, at) => {
      const plan = planOf(plot)
      const usualM3 = laterNeed === 'grass' ? grassNeedM3(plot, monthTable) : usualNeedM3(plan, plot, monthTable)
      return { plot, at, plan, usualM3 }
    }),
    monthTable,
    pastWeeks: [],
  }
}

interface Asked {
  weir: number
  week: number
  needM3: readonly (number | null)[]
  settings: Settings
}

function releaseOf(run: Run, book: Book, { weir: at, week, needM3, settings }: Asked): number {
  const plots = book.plots.filter(({ plot }) => plot.weir === at)
  const needsM3 = Array.from({ length: WEEKS - week }, (_, ahead) =>
    plots.reduce((sum, { at: plot, usualM3 }) => {
      return sum + (ahead === 0 ? (needM3[plot] ?? 0) : usualM3[week + ahead]!)
    }, 0),
  )
  const levelM = seenLevelM(run, at, week)
  const openWaterMm = 1.05 * run.season.usualEtoMm[run.day]!
  const drawnM3 = drawnLastWeekM3(run, at)
  return releaseM3(
    book.weirs[at]!,
    {
      day: run.day,
      levelM,
      drawnM3,
      rests: restsOf(run, at, week),
      openWaterMm,
      needsM3,
      trueLossM3: (levelM) => lossM3PerDay(run.season.weirs[at]!.store, levelM, openWaterMm),
    },
    settings,
  )
}

/** Drinking is written as what people are counted to drink. */
function drawnLastWeekM3({ season, day, givenM3 }: Run, weir: number): number {
  let sumM3 = 7 * season.weirs[weir]!.drinkingM3PerDay
  for (let past = Math.max(0, day - 7); past < day; past++)
    season.plots.forEach((plot, at) => {
      if (plot.weir === weir) sumM3 += givenM3[past * season.plots.length + at]!
    })
  return sumM3
}

function needOf(run: Run, { plan, plot, at }: BookPlot, monthTable: number[], mostTurns: number): WeekNeed | null {
  const { rootedPart } = irrigationMethodByKey(plot.methodKey)!
  const need = weekNeed({
    plan,
    today: dateOf(run.day),
    weekStartsOn: dateOf(run.day),
    mostTurns,
    days: wateredDays(run, plot, at),
    bookFromOn: dateOf(0),
    ...groundOf(plot),
    rootedPart,
    monthTableMmPerDay: monthTable,
    unwrittenRain: 'none',
  })
  return need.known && need.stage !== null ? need : null
}

/** Weather and water as written, and the bed that the rains have left moist before a sowing, so that none is brought for it. */
function wateredDays({ season, day, givenM3 }: Run, { areaM2, sownDay }: TruePlot, at: number) {
  const days = Array.from({ length: day }, (_, past) => ({
    date: dateOf(past),
    etoMm: season.seenEtoMm[past]!,
    etoErrorFraction: 0.07,
    rainMm: season.seenRainMm[past]!,
    broughtMm: (1000 * givenM3[past * season.plots.length + at]!) / areaM2,
  }))
  const moistBed = { date: dateOf(day - 1), etoMm: 0, etoErrorFraction: 0, rainMm: 100, broughtMm: 0 }
  return sownDay >= day ? [...days.slice(0, -1), moistBed] : days
}

function turnsOf(volumeM3: number, need: WeekNeed | null): number[] {
  const turns = need?.turns ?? 1
  const first = need && need.turns > 1 ? need.firstTurnPart : 1
  return Array.from({ length: turns }, (_, turn) => volumeM3 * (turn === 0 ? first : (1 - first) / (turns - 1)))
}

/** By the tables, moved to where the valley's own table of the field stands. */
function groundOf({ methodKey, soilKey, tableEfficiency, tableAvailableMmPerM }: TruePlot) {
  const moved = (range: Range, likely: number): Range => ({
    low: (range.low * likely) / range.likely,
    likely,
    high: (range.high * likely) / range.likely,
  })
  return {
    efficiency: moved(irrigationMethodByKey(methodKey)!.efficiency, tableEfficiency),
    availableMmPerM: moved(soilByKey(soilKey)!.availableMmPerM, tableAvailableMmPerM),
  }
}

function planOf({ crop, areaM2, sownDay, tableUse }: TruePlot): CropPlan {
  const known = cropByKey(crop.key)!
  const [kcIni, kcMid, kcEnd] = [known.kcIni, known.kcMid, known.kcEnd].map((kc) => tableUse * kc) as [
    number,
    number,
    number,
  ]
  return { crop: { ...known, kcIni, kcMid, kcEnd, stageDays: known.stageDays! }, areaM2, plantedOn: dateOf(sownDay) }
}

function usualNeedM3(plan: CropPlan, plot: TruePlot, monthTable: number[]): number[] {
  const { efficiency, availableMmPerM } = groundOf(plot)
  const need = seasonNeed({
    plan,
    efficiency,
    rootedPart: irrigationMethodByKey(plot.methodKey)!.rootedPart,
    availableMmPerM,
    fromOn: plan.plantedOn,
    seasonEndOn: dateOf(SEASON_DAYS),
    months: monthTable.map((etoMmPerDay) => ({ etoMmPerDay, errorFraction: 0.1, from: 'month-table', days: 0 })),
  })
  const days = need.days.map((day, at) => (at === 0 ? { ...day, netMm: day.netMm - need.bedMm } : day))
  return weeklyGrossM3({ days, areaM2: plot.areaM2, efficiency, fromOn: dateOf(0), weeks: WEEKS + 8 })
}

/** As if grass grew on all of it to the end of the season of crops. */
function grassNeedM3({ areaM2, tableEfficiency }: TruePlot, monthTable: number[]): number[] {
  const dayM3 = (day: number) =>
    day > LAST_CROP_DAY ? 0 : (monthTable[Number(dateOf(day).slice(5, 7)) - 1]! * areaM2) / 1000 / tableEfficiency
  return Array.from({ length: WEEKS + 8 }, (_, week) =>
    Array.from({ length: 7 }, (_, day) => dayM3(7 * week + day)).reduce((sum, m3) => sum + m3, 0),
  )
}

/** Usual reference evapotranspiration by month as the group has written it, January first. */
function monthTableOf({ usualEtoMm }: TrueSeason): number[] {
  const sums = Array.from({ length: 12 }, () => ({ mm: 0, days: 0 }))
  usualEtoMm.forEach((mm, day) => {
    const month = sums[Number(dateOf(day).slice(5, 7)) - 1]!
    month.mm += mm
    month.days++
  })
  return sums.map(({ mm, days }) => (days > 0 ? mm / days : usualEtoMm[0]!))
}
