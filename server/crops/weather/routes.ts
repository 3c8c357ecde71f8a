import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { daysBetween, isCalendarDate } from '../../../domain/calendar.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { WeatherForm } from '../forms.ts'
import { dayDemand } from './day-demand.ts'
import { dayLines, figuresInWords, monthInWords } from './day-lines.ts'
import { dayTrouble } from './day-trouble.ts'
import { gapsIn, monthRows, monthSpan, otherMonth } from './month.ts'
import { oddReadings, READING_LIMITS, type ReadingField } from './reading-limits.ts'
import { addWeatherDay, type WeatherReading, weatherDayHistory, weatherDays, weatherSpan } from './store.ts'

/** The weather book: a month at a time, one day with its working, and the form for one day. */
export function addWeatherRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<{ Querystring: { month?: string } }>('/weather', { preHandler: may('crops.see') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const { today } = request.visit
    const span = await weatherSpan(db)
    const asked = request.query.month ?? ''
    const month = isMonth(asked) ? asked : (span?.lastOn ?? today).slice(0, 7)
    const whole = monthSpan(month)
    const shown = { fromOn: whole.fromOn, toOn: [whole.toOn, today].sort()[0]! }
    const rows = monthRows(group, await weatherDays(db, shown), shown)
    return page({ request, reply }, 'crops/weather/page', {
      title: 'crops.weather-book.title',
      monthWords: monthInWords(whole.fromOn, request.visit.locale.language),
      earlier: otherMonth(month, -1),
      later: month < today.slice(0, 7) ? otherMonth(month, 1) : null,
      rows,
      gaps: gapsIn(rows).map((gap) => ({ ...gap, days: daysBetween(gap.fromOn, gap.toOn) + 1 })),
      span,
    })
  })

  app.get<{ Querystring: { on?: string } }>(
    '/weather/new',
    { preHandler: may('weather.record') },
    async (request, reply) => {
      const onDate = request.query.on ?? request.visit.today
      const stands = (await weatherDays(db, { fromOn: onDate, toOn: onDate }))[0]
      return showDay(request, reply, emptyForm({ onDate, ...typedFigures(stands) }))
    },
  )

  app.post('/weather', { preHandler: may('weather.record') }, async (request, reply) => {
    const form = readForm(WeatherForm, request.body)
    if (!form.ok) return showDay(request, reply, form)
    const { reason, ...reading } = form.data
    const group = found(await currentGroup(db))
    const stands = (await weatherDays(db, { fromOn: reading.onDate, toOn: reading.onDate }))[0]
    const wrong = dayTrouble({ reading, group, today: request.visit.today, replaces: stands !== undefined, reason })
    if (wrong) return showDay(request, reply, withError(form, wrong.field, wrong.key, wrong.values))
    return write(
      { db, request, reply, at: now() },
      (pen) => addWeatherDay(pen, reading, { reason: reason ?? undefined }),
      () => `/crops/weather/${reading.onDate}`,
    )
  })

  app.get<{ Params: { date: string } }>('/weather/:date', { preHandler: may('crops.see') }, async (request, reply) => {
    const { date } = request.params
    const group = found(await currentGroup(db))
    const stands = isCalendarDate(date) ? (await weatherDays(db, { fromOn: date, toOn: date }))[0] : undefined
    const day = found(stands)
    const demand = dayDemand(group, day)
    const history = await weatherDayHistory(db, date)
    const { locale, format } = request.visit
    return page({ request, reply }, 'crops/weather/day', {
      title: 'crops.day.title',
      titleValues: { date: format.date(date) },
      ...{ day, demand },
      odd: oddReadings(day),
      lines: dayLines({ day, demand, place: group, t: locale.t, f: format }),
      history: history.map((one) => ({ ...one, figures: figuresInWords(one, locale.t, format) })),
    })
  })
}

/** The figures that stand for a day as they would be typed, so that a correction starts from them. */
function typedFigures(day: WeatherReading | undefined): Record<string, string> {
  if (!day) return {}
  const fields = (Object.keys(READING_LIMITS) as ReadingField[]).filter((field) => day[field] !== null)
  return Object.fromEntries(fields.map((field) => [field, String(day[field])]))
}

/** A month that somebody may have weather of. */
function isMonth(text: string): boolean {
  return isCalendarDate(`${text}-01`) && text >= '1800' && text < '2200'
}

function showDay(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'crops.weather.title',
      intro: ['crops.weather.intro'],
      form: WeatherForm,
      filled,
      action: '/crops/weather',
      back: '/crops/weather',
    },
  )
}
