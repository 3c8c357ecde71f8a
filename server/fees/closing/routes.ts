import { addDays } from '../../../domain/calendar.ts'
import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { endOfBook } from '../../book/verify.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { closedUntil } from '../ledger/closed-store.ts'
import { fewPayers } from '../payer/few.ts'
import { periodBooks } from '../reconcile/books.ts'
import { periodShown } from '../reconcile/pages.ts'
import { hrefOf, noteAt, periodAsked } from '../reconcile/period.ts'
import { secondName, signed } from '../signed.ts'
import { type Closing, closePeriod, listClosings } from './store.ts'

/** Closing a period: one person closes it with its figures, another puts the second name under it. */
export function addClosingPages({ get, post }: Pages): void {
  get('/money/agree/close', 'payment.record', newClosing)
  post('/money/agree/close', 'payment.record', writeClosing)
  get('/money/names/closing/:id', 'closing.see', showClosing)
  post('/money/names/closing/:id', 'closing.approve', approveClosing)
}

/** What was closed, the last first, for the page that tells whether it agrees. */
export async function closingsShown(desk: Desk) {
  return (await listClosings(desk.db)).toReversed().map((closing) => headOf(desk, closing))
}

async function newClosing(desk: Desk) {
  return showNew(desk)
}

async function writeClosing(desk: Desk) {
  const period = await periodFor(desk)
  const shown = periodShown(desk, await periodBooks(desk.db, { ...period, today: desk.today }))
  if (await hindrance(desk, period, shown.open)) {
    desk.reply.code(409)
    return showNew(desk)
  }
  return write(
    desk,
    async (pen) => closePeriod(pen, await periodBooks(pen.trx, { ...period, today: desk.today })),
    (id) => `/money/names/closing/${id}`,
  )
}

async function showClosing(desk: Desk<'id'>) {
  const closing = await closingOf(desk)
  return page(desk, 'fees/closing/page', {
    title: 'closings.closing.heading',
    titleValues: { from: desk.format.date(closing.from), to: desk.format.date(closing.to) },
    closing: headOf(desk, closing),
    // A sum over few payers would tell each one's own to those who do not keep the money.
    few: !desk.may('money.see-all') && (await fewPayers(desk.db, closing)),
    shown: periodShown(desk, closing.books),
    names: await namesShown(desk, closing.id),
    bookEnd: await endOfBook(desk.db),
  })
}

async function approveClosing(desk: Desk<'id'>) {
  const closing = await closingOf(desk)
  return write(
    desk,
    (pen) => approve(pen, closing.id),
    () => `/money/names/closing/${closing.id}`,
  )
}

async function closingOf(desk: Desk<'id'>): Promise<Closing> {
  const { id } = desk.params
  return found((await listClosings(desk.db)).find((closing) => closing.id === id))
}

async function periodFor(desk: Desk) {
  const lastMonth = { period: 'month', on: addDays(`${desk.today.slice(0, 7)}-01`, -1) }
  return periodAsked(desk.group, desk.query.period ? desk.query : lastMonth, desk.today)
}

/** Why the period cannot be closed now; null when nothing is in the way. */
async function hindrance(desk: Desk, period: { from: string; to: string }, open: number) {
  const { today } = desk
  if (period.to > today) return 'closings.closing.not-ended'
  const closed = await closedUntil(desk.db)
  if (closed !== null && period.to <= closed) return 'closings.closing.closed'
  if (
    (await listClosings(desk.db)).some(
      ({ from, to, withheld }) => !withheld && from === period.from && to === period.to,
    )
  ) {
    return 'closings.closing.waits'
  }
  return open > 0 ? 'closings.closing.open' : null
}

async function showNew(desk: Desk) {
  const period = await periodFor(desk)
  const shown = periodShown(desk, await periodBooks(desk.db, { ...period, today: desk.today }))
  return page(desk, 'fees/closing/new', {
    title: 'closings.closing.title',
    period,
    shown,
    hindrance: await hindrance(desk, period, shown.open),
    here: hrefOf(period),
    noteAt: noteAt(period),
    ended: period.to <= desk.today,
  })
}

function headOf(desk: Desk, closing: Closing) {
  const { format, locale } = desk
  return {
    id: closing.id,
    span: locale.t('closings.span', { from: format.date(closing.from), to: format.date(closing.to) }),
    first: signed(desk, closing.writerName, closing.writtenAt),
    second: secondName(desk, closing.approval),
    isWithheld: closing.withheld !== null,
  }
}
