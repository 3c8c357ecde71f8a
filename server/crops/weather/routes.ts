import { daysBetween, isCalendarDate } from '../../../domain/calendar.ts'
import { nextWeekOn, weekStartOf } from '../../../domain/weeks.ts'
import { write } from '../../book/pen.ts'
import { dayDemand, type Place } from '../../water/weather/state.ts'
import {
  addWeatherDay,
  type WeatherReading,
  weatherDayHistory,
  weatherDays,
  weatherSpan,
} from '../../water/weather/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { cropSettings } from '../setting/store.ts'
import { dayTrouble, placeOf } from './day-demand.ts'
import { dayLines, figuresInWords, humidityInWords } from './day-lines.ts'
import { readingOf, WeatherForm } from './forms.ts'
import { gaugesShown } from './gauge-routes.ts'
import { changesStanding } from './list.ts'
import { gapsIn, monthRows, monthSpan, otherMonth } from './month.ts'
import { oddReadings, READING_LIMITS, type ReadingField } from './reading-limits.ts'

/** The weather book: a month at a time, one day with its working, and the form for one day. */
export function addWeatherPages({ get, post }: Pages): void {
  get('/crops/weather', 'crops.see', showMonth)
  get('/crops/weather/new', 'weather.record', newDay)
  post('/crops/weather/new', 'weather.record', writeDay)
  get('/crops/lines/weather/:date', 'crops.see', showDay)
}

async function showMonth(desk: Desk) {
  const { today } = desk
  const span = await weatherSpan(desk.db)
  const asked = desk.query.month ?? ''
  const month = isMonth(asked) ? asked : (span?.lastOn ?? today).slice(0, 7)
  const whole = monthSpan(month)
  const shown = { fromOn: whole.fromOn, toOn: [whole.toOn, today].sort()[0]! }
  const rows = monthRows(await placeNow(desk), await weatherDays(desk.db, shown), shown)
  return page(desk, 'crops/weather/page', {
    title: 'crops.weather-book.title',
    monthWords: desk.format.month(whole.fromOn),
    nextWeek: nextWeekOn(weekStartOf(today, desk.group), desk.group),
    earlier: otherMonth(month, -1),
    later: month < today.slice(0, 7) ? otherMonth(month, 1) : null,
    rows: rows.map((row) => ({
      ...row,
      humidity: row.day && humidityInWords(row.day, desk.t, desk.format),
    })),
    gaps: gapsIn(rows).map((gap) => ({ ...gap, days: daysBetween(gap.fromOn, gap.toOn) + 1 })),
    span,
    gauges: await gaugesShown(desk),
  })
}

async function newDay(desk: Desk) {
  const onDate = desk.query.on ?? desk.today
  const stands = (await weatherDays(desk.db, { fromOn: onDate, toOn: onDate }))[0]
  return showDayForm(desk, emptyForm({ onDate, ...typedFigures(stands) }))
}

async function writeDay(desk: Desk) {
  const form = readForm(WeatherForm, desk.body)
  if (!form.ok) return showDayForm(desk, form)
  const { reason } = form.data
  const reading = readingOf(form.data)
  const place = await placeNow(desk)
  const stands = (await weatherDays(desk.db, { fromOn: reading.onDate, toOn: reading.onDate }))[0]
  const isOfficers = !desk.may('weather.change') && changesStanding(reading, stands)
  const wrong = dayTrouble({ reading, place, today: desk.today, replaces: stands !== undefined, isOfficers, reason })
  if (wrong) return showDayForm(desk, withError(form, wrong.field, wrong.key, wrong.values))
  return write(
    desk,
    (pen) => addWeatherDay(pen, reading, { reason: reason ?? undefined }),
    () => `/crops/lines/weather/${reading.onDate}`,
  )
}

async function showDay(desk: Desk<'date'>) {
  const { date } = desk.params
  const place = await placeNow(desk)
  const stands = isCalendarDate(date) ? (await weatherDays(desk.db, { fromOn: date, toOn: date }))[0] : undefined
  const day = found(stands)
  const demand = dayDemand(place, day)
  const history = await weatherDayHistory(desk.db, date)
  const { locale, format } = desk
  return page(desk, 'crops/weather/day', {
    title: 'crops.day.title',
    titleValues: { date: format.date(date) },
    day,
    demand,
    odd: oddReadings(day),
    lines: dayLines({ day, demand, place, t: locale.t, f: format }),
    history: history.map((one) => ({ ...one, figures: figuresInWords(one, locale.t, format) })),
  })
}

async function placeNow({ db, group, today }: Pick<Desk, 'db' | 'group' | 'today'>): Promise<Place> {
  return placeOf(group, (await cropSettings(db, today)).demandRule)
}

/** The figures that stand for a day as they would be typed, so that a correction starts from them. */
function typedFigures(day: WeatherReading | undefined): Record<string, string> {
  if (!day) return {}
  const fields = (Object.keys(READING_LIMITS) as ReadingField[]).filter((field) => day[field] !== null)
  const typed = fields.map((field) => [field === 'windMPerS' ? 'wind' : field, String(day[field])])
  return { ...Object.fromEntries(typed), psychrometer: day.psychrometer ?? '' }
}

/** A month that somebody may have weather of. */
function isMonth(text: string): boolean {
  return isCalendarDate(`${text}-01`) && text >= '1800' && text < '2200'
}

function showDayForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'crops.weather.title',
    intro: ['crops.weather.intro'],
    form: WeatherForm,
    filled,
    action: '/crops/weather/new',
    back: '/crops/weather',
  })
}
