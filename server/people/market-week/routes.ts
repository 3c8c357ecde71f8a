import type { CalendarDate } from '../../../domain/calendar.ts'
import { type MarketWeek, wholeWeekDays } from '../../../domain/weeks.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { MarketWeekForm, MarketWeekWithdrawalForm } from './forms.ts'
import {
  firstFreeOn,
  type MarketLook,
  marketLook,
  mayBeTakenBack,
  weeksFrom,
  withMarket,
  withoutMarket,
} from './state.ts'
import { heldBackMarketWeeks, marketWeekLines, setMarketWeek, withdrawMarketWeek } from './store.ts'

/** The weeks of the group, and from which day on they follow its market. */
export function addMarketWeekPages({ get, post }: Pages): void {
  get('/people/market-weeks', 'people.see', showWeeks)
  get('/people/settle/market-week', 'group.set', newMarketWeek)
  post('/people/settle/market-week', 'group.set', writeMarketWeek)
  get('/people/settle/market-week/:id', 'group.set', newWithdrawal)
  post('/people/settle/market-week/:id', 'group.set', writeWithdrawal)
}

const WEEKS_AHEAD = 6

async function showWeeks(desk: Desk) {
  const { today, group } = desk
  const freeOn = await firstFreeOn(desk)
  const settled = (await marketWeekLines(desk.db)).toReversed()
  return page(desk, 'people/market-week/page', {
    title: 'people.market-week.list-title',
    weeks: weeksFrom(today, group, WEEKS_AHEAD),
    settled: settled.map((one) => ({ ...one, mayBeTakenBack: mayBeTakenBack(group, one, freeOn) })),
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
  const look = await marketLook(desk, withMarket(desk.group, market), market)
  if (desk.posted('looked') !== look.digest) return show(desk, emptyForm({ ...form.values }), look)
  return write(
    desk,
    (pen) => setMarketWeek(pen, market),
    () => '/people/market-weeks',
  )
}

async function newWithdrawal(desk: Desk<'id'>) {
  return showWithdrawal(desk, await stillToCome(desk), emptyForm())
}

async function writeWithdrawal(desk: Desk<'id'>) {
  const market = await stillToCome(desk)
  const form = readForm(MarketWeekWithdrawalForm, desk.body)
  if (!form.ok) return showWithdrawal(desk, market, form)
  return write(
    desk,
    async (pen) => {
      // Asked once more: another officer may have published a week meanwhile.
      onlyToCome(desk, market, await firstFreeOn({ ...desk, db: pen.trx }))
      return withdrawMarketWeek(pen, market.id, form.data.reason)
    },
    () => '/people/market-weeks',
  )
}

async function stillToCome(desk: Desk<'id'>) {
  const market = found((await marketWeekLines(desk.db)).find(({ id }) => id === desk.params.id))
  onlyToCome(desk, market, await firstFreeOn(desk))
  return market
}

function onlyToCome({ group }: Desk<'id'>, market: MarketWeek, freeOn: CalendarDate): void {
  if (!mayBeTakenBack(group, market, freeOn)) throw new PageError(409, 'people.market-week.begun')
}

async function showWithdrawal(desk: Desk<'id'>, market: MarketWeek & { id: string }, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'people/market-week/form', {
    title: 'people.market-week.withdrawal-title',
    form: MarketWeekWithdrawalForm,
    filled,
    action: `/people/settle/market-week/${market.id}`,
    submit: 'people.market-week.withdraw-sent',
    withdraws: true,
    look: await marketLook(desk, withoutMarket(desk.group, market), market),
  })
}

function show(desk: Desk, filled: Filled, look: MarketLook | null = null) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'people/market-week/form', {
    title: 'people.market-week.title',
    form: MarketWeekForm,
    filled,
    action: '/people/settle/market-week',
    submit: look ? 'people.market-week.settle' : 'people.market-week.look',
    withdraws: false,
    hidden: look ? { looked: look.digest } : {},
    look,
  })
}
