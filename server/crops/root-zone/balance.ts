import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { CannotSay } from '../../../domain/crops/plan.ts'
import { type RootZoneOutlook, rootZoneOutlook } from '../../../domain/crops/root-zone/outlook.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Database } from '../../database/connection.ts'
import type { Plot } from '../../people/plot/store.ts'
import { daysAtPlot, type SeasonBook, seasonBook } from '../need/book.ts'
import { type PlanGround, planGround } from '../need/plan-water.ts'
import { DAYS_AGREED } from '../need/weekly.ts'
import type { PlannedCrop } from '../plan/store.ts'

interface PlanRootZone extends Pick<PlanGround, 'efficiency' | 'availableMmPerM' | 'rootedPart' | 'gauge' | 'local'> {
  outlook: RootZoneOutlook | CannotSay
  /** Rain as it was written and the water as it was logged, by day, before any rule. */
  rainMm: Map<CalendarDate, number>
  wateredM3: Map<CalendarDate, number>
  settings: SeasonBook['settings']
}

/** The root zone of one crop from sowing up to today, from what was measured and really given, with the turns agreed to come. */
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
  const book = await seasonBook(db, { place: group, fromOn, toOn: addDays(today, DAYS_AGREED), on: today })
  const ground = planGround({ book, plot, plan, plans, today })
  const { efficiency, availableMmPerM, rootedPart, gauge, local } = ground
  const { days } = daysAtPlot(book, plot.id)
  const given = book.given.filter((one) => one.plotId === plot.id)
  return {
    outlook: rootZoneOutlook(ground),
    efficiency,
    availableMmPerM,
    rootedPart,
    gauge,
    local,
    settings: book.settings,
    rainMm: new Map(days.flatMap((day) => (day.rainMm === null ? [] : [[day.date, day.rainMm] as const]))),
    wateredM3: new Map(given.map((one) => [one.onDate, one.volumeM3])),
  }
}
