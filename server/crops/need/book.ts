import type { CalendarDate } from '../../../domain/calendar.ts'
import type { BookedDay } from '../../../domain/crops/demand/expected-demand.ts'
import type { Id } from '../../../domain/id.ts'
import { readAhead } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { agreedUnlogged, type UntypedTurn, untypedTurns, wordsOfTurns } from '../../water/storage/untyped-store.ts'
import type { Place } from '../../water/weather/state.ts'
import { type WeatherDay, weatherDays, weatherRows, weatherSpan } from '../../water/weather/store.ts'
import { type CropBook, cropBook } from '../crop/store.ts'
import { type CropSettings, cropSettings } from '../setting/store.ts'
import { bookedDay, placeOf } from '../weather/day-demand.ts'
import { type GaugeRain, gaugeRain, listGauges, type RainGauge } from '../weather/gauge-store.ts'
import {
  agreedForPlots,
  firstLogged,
  type GivenWater,
  givenWater,
  loggedForPlots,
  plannedWater,
  waterKnownFrom,
} from './given-store.ts'

/** Everything read from the book that the water of crops is reckoned from. */
export interface SeasonBook {
  crops: CropBook
  settings: CropSettings
  gauges: RainGauge[]
  weather: WeatherDay[]
  days: BookedDay[]
  gaugeRain: GaugeRain[]
  given: GivenWater[]
  /** Turns agreed for these days that nobody has logged. */
  planned: GivenWater[]
  /** Turns agreed for days that are over, of which nobody has written a word. */
  untyped: UntypedTurn[]
  /** First day that both weather and water are known of; null before there is any weather. */
  fromOn: CalendarDate | null
}

export async function seasonBook(
  db: Database,
  { place, fromOn, toOn, on }: { place: Place; fromOn: CalendarDate; toOn: CalendarDate; on: CalendarDate },
): Promise<SeasonBook> {
  readAhead(
    db,
    weatherRows(db, { fromOn, toOn }),
    loggedForPlots(db, { fromOn, toOn }),
    agreedForPlots(db, { fromOn, toOn }),
    agreedUnlogged(db, { fromOn, beforeOn: toOn }),
    wordsOfTurns(db),
    firstLogged(db),
  )
  const weather = await weatherDays(db, { fromOn, toOn })
  const settings = await cropSettings(db, on)
  return {
    crops: await cropBook(db),
    settings,
    gauges: await listGauges(db),
    weather,
    days: weather.map((day) => bookedDay(placeOf(place, settings.demandRule), day)),
    gaugeRain: settings.gaugeOfPlot.size > 0 ? await gaugeRain(db, { fromOn, toOn }) : [],
    given: await givenWater(db, { fromOn, toOn }),
    planned: await plannedWater(db, { fromOn, toOn }),
    untyped: await untypedTurns(db, { fromOn, beforeOn: toOn }),
    fromOn: laterOf((await weatherSpan(db))?.firstOn ?? null, await waterKnownFrom(db)),
  }
}

/** Water that was given before anybody could log any is not known to have been none. */
function laterOf(weatherOn: CalendarDate | null, waterOn: CalendarDate | null): CalendarDate | null {
  return weatherOn !== null && waterOn !== null && waterOn > weatherOn ? waterOn : weatherOn
}

/** The book as it stood on the morning of a day, so that a week is reckoned from what was known before it. */
export function bookBefore(book: SeasonBook, date: CalendarDate): SeasonBook {
  return {
    ...book,
    weather: book.weather.filter((day) => day.onDate < date),
    days: book.days.filter((day) => day.date < date),
    gaugeRain: book.gaugeRain.filter((one) => one.onDate < date),
    given: book.given.filter((one) => one.onDate < date),
    planned: book.planned.filter((one) => one.onDate < date),
    untyped: book.untyped.filter((one) => one.onDate < date),
  }
}

/** The gauge that a plot looks to, with the days on which nobody read it and the rain of the weather book stood in. */
export interface PlotGauge {
  gauge: RainGauge
  stoodIn: CalendarDate[]
}

/** The days as they were at a plot: its own gauge goes before the rain of the weather book. */
export function daysAtPlot(book: SeasonBook, plotId: Id<'plot'>): { days: BookedDay[]; gauge: PlotGauge | null } {
  const gaugeId = book.settings.gaugeOfPlot.get(plotId)
  const gauge = book.gauges.find((one) => one.id === gaugeId)
  if (!gauge) return { days: book.days, gauge: null }
  const rain = new Map(
    book.gaugeRain.flatMap((one) => (one.gaugeId === gaugeId ? [[one.onDate, one.rainMm] as const] : [])),
  )
  const known = new Set(book.days.map((day) => day.date))
  const stoodIn = book.days.flatMap((day) => (day.rainMm !== null && !rain.has(day.date) ? [day.date] : []))
  const withGauge = book.days.map((day) => ({ ...day, rainMm: rain.get(day.date) ?? day.rainMm }))
  const rainOnly = [...rain].flatMap(([date, rainMm]) =>
    known.has(date) ? [] : [{ date, etoMm: null, etoErrorFraction: 0, rainMm }],
  )
  const days = [...withGauge, ...rainOnly].sort((a, b) => (a.date < b.date ? -1 : 1))
  return { days, gauge: { gauge, stoodIn } }
}
