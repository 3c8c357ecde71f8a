import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Climate } from '../../../domain/crops/crop/climate-adjustment.ts'
import { initialCoefficient } from '../../../domain/crops/crop/initial-coefficient.ts'
import type { Mulch } from '../../../domain/crops/crop/mulch.ts'
import { irrigationMethodByKey } from '../../../domain/crops/data/irrigation-methods.ts'
import { soilByKey } from '../../../domain/crops/data/soils.ts'
import { type BookedDay, expectedDemand } from '../../../domain/crops/demand/expected-demand.ts'
import { sum } from '../../../domain/sum.ts'
import { windAt2M } from '../../../domain/water/weather/air.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { WeatherReading } from '../../water/weather/store.ts'
import type { CropSettings } from '../setting/store.ts'

/** What bends the coefficients of a plot's crops; each part is null unless the group turned it on and the book carries it. */
export interface LocalCoefficient {
  climate: (Climate & { days: number }) | null
  /** Turned on, but too few days have wind and humidity. */
  climateMissing: boolean
  /** What covers the ground of the plot; null where it lies bare. */
  mulch: Mulch | null
  kcIniByWetting: number | null
  wetting: { days: number; depthMm: number; wettedFraction: number } | null
}

/** Days looked back on for wind and humidity, and the fewest with both: common practice, no source. */
const CLIMATE_DAYS = 30
const FEWEST_CLIMATE_DAYS = 10

export function localCoefficient(input: {
  settings: Pick<CropSettings, 'coefficientRule' | 'monthTable' | 'mulchOfPlot'>
  plot: Pick<Plot, 'id' | 'method' | 'soil'>
  weather: readonly WeatherReading[]
  days: readonly BookedDay[]
  on: CalendarDate
}): LocalCoefficient {
  const rule = input.settings.coefficientRule
  const climate = rule?.byClimate ? measuredClimate(input.weather, input.on) : null
  return {
    climate,
    climateMissing: rule?.byClimate === true && climate === null,
    mulch: input.settings.mulchOfPlot.get(input.plot.id) ?? null,
    ...initialByWetting(input),
  }
}

function measuredClimate(weather: readonly WeatherReading[], on: CalendarDate): LocalCoefficient['climate'] {
  const measured = weather.flatMap(({ onDate, windMPerS, windHeightM, rhMinPct }) => {
    if (onDate < addDays(on, -CLIMATE_DAYS) || onDate >= on || windMPerS === null || rhMinPct === null) return []
    const wind = windAt2M({ windMPerS, heightM: windHeightM ?? 2 })
    return wind === null ? [] : [{ wind, rhMinPct }]
  })
  if (measured.length < FEWEST_CLIMATE_DAYS) return null
  const mean = (pick: (day: { wind: number; rhMinPct: number }) => number) =>
    sum(measured, (day) => pick(day)) / measured.length
  return { windMPerS: mean((day) => day.wind), rhMinPct: mean((day) => day.rhMinPct), days: measured.length }
}

function initialByWetting({
  settings,
  plot,
  days,
  on,
}: Parameters<typeof localCoefficient>[0]): Pick<LocalCoefficient, 'kcIniByWetting' | 'wetting'> {
  const rule = settings.coefficientRule
  const expected = expectedDemand({ days, weekStartsOn: on, monthTableMmPerDay: settings.monthTable?.etoMmPerDay })
  if (!rule?.wetting || !expected) return { kcIniByWetting: null, wetting: null }
  const wettedFraction = rule.wettedPart ? irrigationMethodByKey(plot.method)!.wettedFraction.likely : 1
  const { days: intervalDays, depthMm } = rule.wetting
  const soil = soilByKey(plot.soil)!.coarseness
  const kc = initialCoefficient({ intervalDays, depthMm, etoMm: expected.etoMmPerDay, soil, wettedFraction })
  return { kcIniByWetting: kc, wetting: { days: intervalDays, depthMm, wettedFraction } }
}
