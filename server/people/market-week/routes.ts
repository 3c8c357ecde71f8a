import { wholeWeekDays } from '../../../domain/weeks.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { MarketWeekForm } from './forms.ts'
import { firstFreeOn, type MarketLook, marketLook, weeksFrom } from './state.ts'
import { heldBackMarketWeeks, setMarketWeek } from './store.ts'

/** The weeks of the group, and from which day on they follow its market. */
export function addMarketWeekPages({ get, post }: Pages): void {
  get('/market-weeks', 'people.see', showWeeks)
  get('/market-weeks/new', 'group.set', newMarketWeek)
  post('/market-weeks', 'group.set', writeMarketWeek)
}

const WEEKS_AHEAD = 6

async function showWeeks(desk: Desk) {
  const { today, group } = desk
  return page(desk, 'people/market-week/page', {
    title: 'people.market-week.list-title',
    weeks: weeksFrom(today, group, WEEKS_AHEAD),
    settled: group.marketWeeks.toReversed(),
    heldBack: await heldBackMarketWeeks(desk.db),
  })
}

async function newMarketWeek(desk: Desk) {
  return show(
    desk,
    emptyForm({ fromOn: await firstFreeOn(desk), daysInWeek: String(wholeWeekDays(desk.today, desk.group)) }),
  )
}

/** First what becomes of the weeks is shown; the second tap on the same writes it. */
async function writeMarketWeek(desk: Desk) {
  const form = readForm(MarketWeekForm, desk.body)
  if (!form.ok) return show(desk, form)
  const market = { fromOn: form.data.fromOn, daysInWeek: Number(form.data.daysInWeek) }
  const freeOn = await firstFreeOn(desk)
  if (market.fromOn < freeOn) {
    const key = freeOn === desk.today ? 'people.market-week.past' : 'people.market-week.published'
    return show(desk, withError(form, 'fromOn', key, { date: desk.format.date(freeOn) }))
  }
  const look = await marketLook(desk.db, desk.parts.people, desk.group, market)
  if (desk.posted('looked') !== look.digest) return show(desk, emptyForm({ ...form.values }), look)
  return write(
    desk,
    (pen) => setMarketWeek(pen, market),
    () => '/people/market-weeks',
  )
}

function show(desk: Desk, filled: Filled, look: MarketLook | null = null) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'people/market-week/form', {
    title: 'people.market-week.title',
    form: MarketWeekForm,
    filled,
    action: '/people/market-weeks',
    submit: look ? 'people.market-week.settle' : 'people.market-week.look',
    hidden: look ? { looked: look.digest } : {},
    look,
  })
}
