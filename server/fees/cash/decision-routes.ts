import type { Pen } from '../../book/entries.ts'
import { actOf } from '../../book/names/acts.ts'
import { approve, namesUnder } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions, minutesShown } from '../../people/decision/state.ts'
import { type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { openDayFor } from '../ledger/closed-store.ts'
import { type CashCount, listCounts } from './count-store.ts'
import { type CountDecision, decideOnCount, moveWrittenOff } from './decision-store.ts'
import { DecisionForm } from './forms.ts'
import { countShown } from './pages.ts'

/** What is decided about a count that differs: words, a minute, or a write-off with two names of whom none counted. */
export function addDecisionPages({ post }: Pages): void {
  post('/money/names/count/:id/words', 'payment.record', writeDecision)
  post('/money/names/count-words/:id', 'voucher.approve', approveWriteOff)
}

async function writeDecision(desk: Desk<'id'>) {
  const count = found((await listCounts(desk.db)).find(({ id }) => id === desk.params.id))
  if (count.openMinor === 0) throw new PageError(409, 'cash.count.nothing-open')
  const form = readForm(DecisionForm, desk.body)
  if (!form.ok) return showCount(desk, count, form)
  const { way, minute, words } = form.data
  if (way !== 'explained' && minute === null) {
    return showCount(desk, count, withError(form, 'minute', 'cash.decision.minute-missing'))
  }
  if (way === 'written-off' && waiting(count)) {
    return showCount(desk, count, withError(form, 'way', 'cash.decision.waits-already'))
  }
  const decision = { countId: count.id, way, minute, words, amountMinor: count.openMinor }
  return write(
    desk,
    (pen) => decideOnCount(pen, decision),
    () => `/money/names/count/${count.id}`,
  )
}

/** The write-off of a count that has not its names yet. */
function waiting({ decisions }: CashCount): CountDecision | undefined {
  return decisions.find(({ way, transfer, withheld }) => way === 'written-off' && !transfer && !withheld)
}

async function approveWriteOff(desk: Desk<'id'>) {
  const { id } = desk.params
  const count = found((await listCounts(desk.db)).find(({ decisions }) => decisions.some((one) => one.id === id)))
  return write(
    desk,
    (pen) => nameWriteOff(pen, count.id, id, desk.today),
    () => `/money/names/count/${count.id}`,
  )
}

/** The last of the names and the transfer are one act. */
async function nameWriteOff(pen: Pen, countId: string, decisionId: string, today: string): Promise<void> {
  await approve(pen, decisionId)
  if ((await namesUnder(pen.trx, decisionId)).length < actOf('count-write-off').names) return
  const count = found((await listCounts(pen.trx)).find((one) => one.id === countId))
  const decision = found(count.decisions.find((one) => one.id === decisionId))
  // A voucher that was found meanwhile has changed what is left to write off.
  if (decision.amountMinor !== count.openMinor) throw new PageError(409, 'cash.decision.no-longer-open')
  const onDate = await openDayFor(pen.trx, { date: count.countedOn, today })
  await moveWrittenOff(pen, { decision, column: count.column, onDate })
}

export async function showCount(desk: Desk, count: CashCount, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const writeOff = waiting(count)
  return page(desk, 'fees/cash/count', {
    title: `cash.count.heading-${count.column}`,
    titleValues: { date: desk.format.date(count.countedOn) },
    count: countShown(desk, count),
    names: await namesShown(desk, count.id),
    writeOff: writeOff ? { id: writeOff.id, names: await namesShown(desk, writeOff.id) } : null,
    minutes: await minutesOf(desk, count),
    form: DecisionForm,
    filled,
    options: { minute: await minuteOptions(desk) },
    action: `/money/names/count/${count.id}/words`,
    submit: 'cash.decision.submit',
  })
}

/** The minutes that decisions about a count name. */
async function minutesOf({ db }: Desk, { decisions }: CashCount) {
  const shown = await minutesShown(db)
  return decisions.flatMap(({ minute }) => (minute === null ? [] : [shown(minute)]))
}
