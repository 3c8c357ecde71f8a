import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { type CannotSay, type RootZoneOutlook, rootZoneOutlook, soilByKey } from '../../../domain/crops/index.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Range } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import type { Plot } from '../../people/plot/store.ts'
import { daysAtPlot, type PlotGauge, type SeasonBook, seasonBook } from '../need/book.ts'
import { type LocalCoefficient, localCoefficient } from '../need/local-coefficient.ts'
import { domainPlan, efficiencyOf, irrigationMm } from '../need/plan-water.ts'
import type { PlannedCrop } from '../plan/store.ts'
import { weatherSpan } from '../weather/store.ts'

export interface PlanRootZone {
  outlook: RootZoneOutlook | CannotSay
  /** Rain as it was written and the water as it was logged, by day, before any rule. */
  rainMm: Map<CalendarDate, number>
  wateredM3: Map<CalendarDate, number>
  efficiency: Range
  availableMmPerM: number
  gauge: PlotGauge | null
  local: LocalCoefficient
  settings: SeasonBook['settings']
}

/** The root zone of one crop from sowing up to today, from what was measured and really given. */
export async function planRootZone(
  db: Database,
  {
    group,
    plan,
    plot,
    plans,
    today,
  }: { group: Group; plan: PlannedCrop; plot: Plot; plans: readonly PlannedCrop[]; today: CalendarDate },
): Promise<PlanRootZone> {
  const fromOn = [addDays(today, -30), plan.sownOn].sort()[0]!
  const book = await seasonBook(db, { place: group, fromOn, toOn: addDays(today, -1), on: today })
  const { days, gauge } = daysAtPlot(book, plot.id)
  const efficiency = efficiencyOf(plot, book.settings.stateOfPlot.get(plot.id)?.state)
  const given = book.given.filter((one) => one.plotId === plot.id)
  const neighbours = plans.filter((other) => other.plotId === plot.id)
  const watered = days.map((day) => ({
    ...day,
    irrigationMm: irrigationMm({ given, neighbours, efficiency: efficiency.likely }, day.date),
  }))
  const local = localCoefficient({ settings: book.settings, plot, weather: book.weather, days, on: today })
  const availableMmPerM = soilByKey(plot.soil)!.availableMmPerM.likely
  const outlook = rootZoneOutlook({
    plan: domainPlan(plan, local),
    today,
    days: watered,
    bookFromOn: (await weatherSpan(db))?.firstOn ?? null,
    availableMmPerM,
    ...(book.settings.monthTable ? { monthTableMmPerDay: book.settings.monthTable.etoMmPerDay } : {}),
    ...(local.climate ? { climate: local.climate } : {}),
  })
  return {
    ...{ outlook, efficiency, availableMmPerM, gauge, local, settings: book.settings },
    rainMm: new Map(days.flatMap((day) => (day.rainMm === null ? [] : [[day.date, day.rainMm] as const]))),
    wateredM3: new Map(given.map((one) => [one.onDate, one.volumeM3])),
  }
}
