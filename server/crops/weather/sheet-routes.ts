import { datesFromTo, isCalendarDate } from '../../../domain/calendar.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { WeatherForm } from './forms.ts'
import { listGauges } from './gauge-store.ts'
import { monthSpan, otherMonth } from './month.ts'

/** The blank month for the school: the columns of the form for one day, in the same order, and a column for each gauge. */
export function addSheetPages({ get }: Pages): void {
  get('/crops/weather?as=sheet', 'crops.see', showSheet)
}

/** The day stands at the side, and what is the same every day or given by a station needs no column. */
const NOT_A_COLUMN = ['onDate', 'reason', 'psychrometer', 'windUnit', 'windHeightM', 'vapourPressureKpa']

async function showSheet(desk: Desk) {
  const asked = desk.query.month ?? ''
  const month = isCalendarDate(`${asked}-01`) ? asked : desk.today.slice(0, 7)
  const { fromOn, toOn } = monthSpan(month)
  return page(desk, 'crops/weather/sheet', {
    title: 'weather.sheet.title',
    titleValues: { month: desk.format.month(fromOn) },
    days: datesFromTo(fromOn, toOn),
    gauges: await listGauges(desk.db),
    columns: Object.keys(WeatherForm.fields).filter((field) => !NOT_A_COLUMN.includes(field)),
    earlier: otherMonth(month, -1),
    later: otherMonth(month, 1),
  })
}
