import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { applicationEfficiency, irrigationMethodByKey } from '../../../domain/crops/data/irrigation-methods.ts'
import { soilByKey } from '../../../domain/crops/data/soils.ts'
import type { RootZoneOutlookInput, WateredDay } from '../../../domain/crops/root-zone/outlook.ts'
import { sum } from '../../../domain/sum.ts'
import type { Range } from '../../../domain/units.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { UntypedTurn } from '../../water/storage/untyped-store.ts'
import { groundM2, plotGroundM2, standsOn } from '../plan/ground.ts'
import { domainPlan, type PlannedCrop } from '../plan/store.ts'
import type { CropSettings } from '../setting/store.ts'
import { daysAtPlot, type PlotGauge, type SeasonBook } from './book.ts'
import { type LocalCoefficient, localCoefficient } from './local-coefficient.ts'

/** Part of the water that stays with the roots, by the plot's method in its present state and what the group lets wash salt down. */
export function efficiencyOf(
  { method, id }: Pick<Plot, 'method'> & { id?: Plot['id'] },
  { stateOfPlot, saltWashing }: Pick<CropSettings, 'stateOfPlot' | 'saltWashing'>,
): Range {
  const state = id ? stateOfPlot.get(id)?.state : undefined
  return applicationEfficiency({ method: irrigationMethodByKey(method)!, state, washingPart: saltWashing?.fraction })
}

/** What the book knows of the ground of one crop, ready to be followed from day to day. */
export interface PlanGround extends RootZoneOutlookInput {
  gauge: PlotGauge | null
  local: LocalCoefficient
}

/** The ground of a crop on a plot as the days left and the need of a week both reckon with it. */
export function planGround(input: {
  book: SeasonBook
  plot: Plot
  plan: PlannedCrop
  /** Every crop of the plot in any season, this one too: they share the water that was given. */
  plans: readonly PlannedCrop[]
  today: CalendarDate
}): PlanGround {
  const { book, plot, plan, plans, today } = input
  const { settings } = book
  const { days, gauge } = daysAtPlot(book, plot.id)
  const read = days.filter((day) => day.date < today || day.rainMm !== null)
  const local = localCoefficient({ settings, plot, weather: book.weather, days: read, on: today })
  const planned = domainPlan(plan, local)
  return {
    plan: { ...planned, areaM2: groundM2({ plot, plan, plans }, standsOn(plan, today) ? today : plan.sownOn) },
    today,
    days: watered(input, read),
    bookFromOn: book.fromOn,
    availableMmPerM: soilByKey(plot.soil)!.availableMmPerM,
    rootedPart: irrigationMethodByKey(plot.method)!.rootedPart,
    efficiency: efficiencyOf(plot, settings),
    rainRule: settings.rainRule ?? undefined,
    unwrittenRain: settings.rainRule?.missingRain === 'counts-nothing' ? 'none' : 'unknown',
    monthTableMmPerDay: settings.monthTable?.etoMmPerDay,
    climate: local.climate ?? undefined,
    gauge,
    local,
  }
}

/** Every day that weather or water is known of, with the depth brought to the crops' ground. */
function watered({ book, plot, plans, today }: Parameters<typeof planGround>[0], read: WeatherOfPlot): WateredDay[] {
  const own = plans.filter((plan) => plan.plotId === plot.id)
  const depthByDay = (water: readonly { onDate: CalendarDate; volumeM3: number }[]) => {
    const depths = new Map<CalendarDate, number>()
    for (const { onDate, volumeM3 } of water) {
      const areaM2 = wateredM2(plot, own, onDate)
      if (areaM2 > 0) depths.set(onDate, (depths.get(onDate) ?? 0) + (volumeM3 * 1000) / areaM2)
    }
    return depths
  }
  const brought = depthByDay([
    ...book.given.filter((one) => one.plotId === plot.id),
    ...book.planned.filter((one) => one.plotId === plot.id && one.onDate >= today),
  ])
  const untyped = depthByDay(untypedOf(book, plot.id, today))
  const known = new Set(read.map((day) => day.date))
  const waterOnly = new Set([...brought.keys(), ...untyped.keys()].filter((date) => !known.has(date)))
  const unread = [...waterOnly].map((date) => ({ date, etoMm: null, etoErrorFraction: 0, rainMm: null }))
  return [...read, ...unread].map((day) => ({
    ...day,
    broughtMm: brought.get(day.date) ?? 0,
    untypedMm: untyped.get(day.date) ?? 0,
  }))
}

/** Agreed turns of a plot that are over and of which nobody wrote a word. */
export function untypedOf({ untyped }: SeasonBook, plotId: Plot['id'], today: CalendarDate): UntypedTurn[] {
  return untyped.filter((one) => one.plotId === plotId && one.onDate < today)
}

type WeatherOfPlot = ReturnType<typeof daysAtPlot>['days']

/** Days before a sowing on which water that reaches a bare plot is meant for its bed. Common practice, no source. */
const BED_DAYS = 7

/** Ground that the water of a day was spread over: that of the crops that stood there, else of those about to be sown. */
function wateredM2(plot: Plot, plans: readonly PlannedCrop[], date: CalendarDate): number {
  const standing = plans.filter((plan) => standsOn(plan, date))
  const sown = plans.filter((plan) => plan.sownOn > date && plan.sownOn <= addDays(date, BED_DAYS))
  const spread = standing.length > 0 ? standing : sown
  return Math.min(
    sum(spread, (plan) => plan.areaM2),
    plotGroundM2(plot, spread),
  )
}
