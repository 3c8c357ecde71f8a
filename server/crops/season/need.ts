import type { CalendarDate } from '../../../domain/calendar.ts'
import { irrigationMethodByKey } from '../../../domain/crops/data/irrigation-methods.ts'
import { soilByKey } from '../../../domain/crops/data/soils.ts'
import { type MonthDemand, usualMonthlyDemand } from '../../../domain/crops/demand/usual-demand.ts'
import { type SeasonNeed, seasonNeed } from '../../../domain/crops/season/need.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Range } from '../../../domain/units.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { weatherDays } from '../../water/weather/store.ts'
import { localCoefficient } from '../need/local-coefficient.ts'
import { efficiencyOf } from '../need/plan-water.ts'
import { groundM2, growsUntil, standsOn } from '../plan/ground.ts'
import { cropPlans, domainPlan, type PlannedCrop } from '../plan/store.ts'
import { type CropSettings, cropSettings } from '../setting/store.ts'
import { bookedDay, placeOf } from '../weather/day-demand.ts'

export interface PlanSeason {
  plan: PlannedCrop
  plot: Plot
  /** Its own part of the plot where crops stand in the same rows. */
  areaM2: number
  efficiency: Range
  need: SeasonNeed
}

export interface SeasonNeeds {
  months: MonthDemand[] | null
  settings: CropSettings
  plots: readonly Plot[]
  /** Crops still in the ground or to be sown this season, with what each still needs; empty while the months are not known. */
  plans: PlanSeason[]
  /** The same without their needs. */
  standing: { plan: PlannedCrop; plot: Plot }[]
}

/** What the crops of this season still need from a day on, by the usual demand of each month. */
export function seasonNeeds(
  db: Database,
  { group, fromOn, today = fromOn }: { group: Group; fromOn: CalendarDate; today?: CalendarDate },
): Promise<SeasonNeeds> {
  const asked = { group, fromOn, today }
  return kept(db, 'season needs', asked, () => reckonSeasonNeeds(db, asked))
}

async function reckonSeasonNeeds(
  db: Database,
  { group, fromOn, today }: { group: Group; fromOn: CalendarDate; today: CalendarDate },
): Promise<SeasonNeeds> {
  const settings = await cropSettings(db, fromOn)
  const weather = await weatherDays(db, { fromOn: '0001-01-01', toOn: today })
  const days = weather.map((day) => bookedDay(placeOf(group, settings.demandRule), day))
  const months = usualMonthlyDemand({ days, monthTableMmPerDay: settings.monthTable?.etoMmPerDay })
  const plots = await listPlots(db, group.seasonEndOn > fromOn ? group.seasonEndOn : fromOn)
  const all = await cropPlans(db)
  const standing = all.flatMap((plan) => {
    const plot = plots.find((one) => one.id === plan.plotId)
    const untilOn = growsUntil(plan)
    const over = (untilOn !== null && untilOn < fromOn) || !plan.crop?.stageDays
    return plot && !over ? [{ plan, plot }] : []
  })
  const plans = (months ? standing : []).map(({ plan, plot }): PlanSeason => {
    const efficiency = efficiencyOf(plot, settings)
    const local = localCoefficient({ settings, plot, weather, days, on: today })
    const need = seasonNeed({
      plan: domainPlan(plan, local),
      fromOn,
      seasonEndOn: group.seasonEndOn,
      months: months!,
      efficiency,
      availableMmPerM: soilByKey(plot.soil)!.availableMmPerM,
      rootedPart: irrigationMethodByKey(plot.method)!.rootedPart,
      climate: local.climate ?? undefined,
    })
    const areaM2 = groundM2({ plot, plan, plans: all }, standsOn(plan, fromOn) ? fromOn : plan.sownOn)
    return { plan, plot, areaM2, efficiency, need }
  })
  return { months, settings, plots, plans, standing }
}
