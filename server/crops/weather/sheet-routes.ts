import type { FastifyInstance } from 'fastify'
import { datesFromTo, isCalendarDate } from '../../../domain/calendar.ts'
import type { Parts } from '../../parts.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { WeatherForm } from '../forms.ts'
import { monthInWords } from './day-lines.ts'
import { listGauges } from './gauge-store.ts'
import { monthSpan, otherMonth } from './month.ts'

/** The blank month for the school: the columns of the form for one day, in the same order, and a column for each gauge. */
export function addSheetRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get<{ Querystring: { month?: string } }>(
    '/weather/sheet',
    { preHandler: may('crops.see') },
    async (request, reply) => {
      const asked = request.query.month ?? ''
      const month = isCalendarDate(`${asked}-01`) ? asked : request.visit.today.slice(0, 7)
      const { fromOn, toOn } = monthSpan(month)
      return page({ request, reply }, 'crops/weather/sheet', {
        title: 'planting.sheet.title',
        titleValues: { month: monthInWords(fromOn, request.visit.locale.language) },
        ...{ days: datesFromTo(fromOn, toOn), gauges: await listGauges(db) },
        columns: Object.keys(WeatherForm.fields).filter((field) => field !== 'onDate' && field !== 'reason'),
        ...{ earlier: otherMonth(month, -1), later: otherMonth(month, 1) },
      })
    },
  )
}
