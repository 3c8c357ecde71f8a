import { type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import type { Stage, StagePeriod } from '../../../domain/crops/crop/stages.ts'
import { type M3, toTenth } from '../../../domain/units.ts'

interface PlanRow {
  label: string
  periods: StagePeriod[]
}

interface WeekBar {
  startsOn: CalendarDate
  days: number
  grossM3: M3
  liftM3: M3 | null
}

/** All crops of a season as bars of stages, and under them the water of each week beside what the pumps lift. */
interface SeasonPicture {
  width: number
  height: number
  rows: { label: string; y: number; bars: { stage: Stage; x: number; width: number }[] }[]
  weeks: { x: number; y: number; width: number; height: number; over: boolean }[]
  lift: string
  baseY: number
  mostM3: M3
  months: { x: number; date: string }[]
  todayX: number | null
  demandTopY: number
}

const WIDTH = 720
const LEFT = 150
const ROW = 16
const TOP = 22
const DEMAND = 110

export function seasonPicture(
  plans: readonly PlanRow[],
  weeks: readonly WeekBar[],
  today: CalendarDate,
): SeasonPicture | null {
  const first = [
    ...plans.flatMap((plan) => plan.periods.map((period) => period.from)),
    ...weeks.map((week) => week.startsOn),
  ].sort()[0]
  const last = plans
    .flatMap((plan) => plan.periods.map((period) => period.to))
    .sort()
    .at(-1)
  if (!first || !last) return null
  const days = daysBetween(first, last) + 1
  const perDay = (WIDTH - LEFT - 8) / days
  const x = (date: CalendarDate) => toTenth(LEFT + Math.min(days, daysBetween(first, date)) * perDay)
  const demandTopY = TOP + plans.length * ROW + 24
  const baseY = demandTopY + DEMAND
  const mostM3 = Math.max(1, ...weeks.flatMap((week) => [week.grossM3, week.liftM3 ?? 0]))
  const tall = (volumeM3: M3) => toTenth((volumeM3 / mostM3) * DEMAND)
  return {
    width: WIDTH,
    height: baseY + 22,
    baseY,
    mostM3,
    demandTopY,
    rows: plans.map((plan, at) => ({
      label: plan.label,
      y: TOP + at * ROW,
      bars: plan.periods.map(({ stage, from, to }) => ({
        stage,
        x: x(from),
        width: toTenth(Math.max(1, (daysBetween(from, to) + 1) * perDay)),
      })),
    })),
    weeks: weeks.map(({ startsOn, days: ofWeek, grossM3, liftM3 }) => ({
      x: x(startsOn),
      y: toTenth(baseY - tall(grossM3)),
      width: toTenth(Math.max(1, (ofWeek - 1) * perDay)),
      height: tall(grossM3),
      over: liftM3 !== null && grossM3 > liftM3,
    })),
    lift: weeks
      .flatMap(({ startsOn, liftM3 }) => (liftM3 === null ? [] : [`${x(startsOn)},${toTenth(baseY - tall(liftM3))}`]))
      .join(' '),
    months: monthsFrom(first, last).map((date) => ({ x: x(date), date })),
    todayX: today >= first && today <= last ? x(today) : null,
  }
}

function monthsFrom(first: CalendarDate, last: CalendarDate): CalendarDate[] {
  const months: CalendarDate[] = []
  let [year, month] = first.split('-').map(Number) as [number, number]
  for (;;) {
    month += 1
    if (month > 12) [year, month] = [year + 1, 1]
    const date = `${year}-${String(month).padStart(2, '0')}-01`
    if (date > last) return months
    months.push(date)
  }
}
