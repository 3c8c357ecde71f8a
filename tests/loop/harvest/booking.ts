import { leftOfEntitlementM3, openWaterM3 } from '../../../domain/rotation/booking.ts'
import type { WeekLeft } from './habits.ts'
import type { Run } from './season.ts'
import { type SharedWeek, USUAL_PUMP_PART } from './week.ts'

/**
 * Who missed a turn, or was cut short by a cloud, books the free hours of the week's later days, within the book's own limits:
 * what is left of the plot's entitlement and of the week's water. Where hours or water do not carry all, they are cut alike.
 */
export function bookOpenHours(
  run: Run,
  week: SharedWeek,
  { missedM3, aheadM3 }: WeekLeft,
  turnsM3: Float64Array,
): void {
  const { weirs, plots } = run.season
  const turns = plots.map(({ weir }, at) => ({
    plotId: `plot-${at}`,
    pumpId: `pump-${weir}`,
    volumeM3: givenThisWeekM3(run, at) + turnsM3[at]! + aheadM3[at]!,
  }))
  const wishedM3 = plots.map((_, at) =>
    missedM3[at]! > 0 ? Math.min(missedM3[at]!, leftOfEntitlementM3({ ...week, turns }, `plot-${at}`)) : 0,
  )
  weirs.forEach(({ pumpClearDayM3 }, weir) => {
    const own = plots.flatMap((plot, at) => (plot.weir === weir ? [at] : []))
    const wished = own.reduce((sum, at) => sum + wishedM3[at]!, 0)
    if (wished === 0) return
    const hoursM3 = Math.max(0, USUAL_PUMP_PART * pumpClearDayM3 - own.reduce((sum, at) => sum + turnsM3[at]!, 0))
    const part = Math.min(1, Math.min(hoursM3, openWaterM3({ ...week, turns }, `weir-${weir}`)) / wished)
    for (const at of own) turnsM3[at]! += part * wishedM3[at]!
  })
}

function givenThisWeekM3({ season, day, givenM3 }: Run, plot: number): number {
  let sumM3 = 0
  for (let past = day - (day % 7); past < day; past++) sumM3 += givenM3[past * season.plots.length + plot]!
  return sumM3
}
