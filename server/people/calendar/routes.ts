import { write } from '../../book/pen.ts'
import { seldom, select, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, type Option } from '../../web/pages/form-page.ts'
import { groupCalendar, setGroupCalendar } from './store.ts'

const MONTHS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12] as const

const CalendarForm = defineForm('calendar.set', {
  calendar: select(),
  ...Object.fromEntries(MONTHS.map((month) => [`m${month}`, seldom(text({ max: 24 }))])),
})

/** Which other calendar's day stands beside ours, and what the group calls the months. */
export function addCalendarPages({ get, post }: Pages): void {
  get('/people/settle/calendar', 'group.set', newCalendar)
  post('/people/settle/calendar', 'group.set', writeCalendar)
}

async function newCalendar(desk: Desk) {
  const { calendar, months } = await groupCalendar(desk.db)
  const names = Object.entries(months).map(([month, name]) => [`m${month}`, name])
  return show(desk, emptyForm({ calendar: calendar ?? NO_OTHER, ...Object.fromEntries(names) }))
}

async function writeCalendar(desk: Desk) {
  const form = readForm(CalendarForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { calendar, ...named } = form.data as { calendar: string } & Record<string, string | null>
  if (!calendarOptions(desk).some(({ value }) => value === calendar))
    return show(desk, withError(form, 'calendar', 'error.choose'))
  const months = MONTHS.flatMap((month) => (named[`m${month}`] ? [[month, named[`m${month}`]!]] : []))
  return write(
    desk,
    (pen) =>
      setGroupCalendar(pen, { calendar: calendar === NO_OTHER ? null : calendar, months: Object.fromEntries(months) }),
    () => '/people',
  )
}

const NO_OTHER = 'none'

/** Ours goes by these itself. */
const OWN = ['gregory', 'iso8601']

/** Every calendar that the runtime's formatter knows, in words of the page's language where it has them. */
function calendarOptions({ t, locale }: Desk): Option[] {
  const names = new Intl.DisplayNames([locale.language], { type: 'calendar' })
  const others = Intl.supportedValuesOf('calendar').filter((one) => !OWN.includes(one))
  return [
    { value: NO_OTHER, label: t('calendar.no-other') },
    ...others.map((value) => ({ value, label: names.of(value) ?? value })),
  ]
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'calendar.set.title',
    form: CalendarForm,
    filled,
    options: { calendar: calendarOptions(desk) },
    action: '/people/settle/calendar',
    intro: ['calendar.set.intro'],
    back: '/people',
  })
}
