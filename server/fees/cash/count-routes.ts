import { approve } from '../../book/approvals.ts'
import { write } from '../../book/pen.ts'
import { listPersons } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { closedUntil } from '../ledger/closed-store.ts'
import { secondName } from '../signed.ts'
import { type CashCount, explainCount, listCounts, recordCount } from './count-store.ts'
import { countForm, WordsForm } from './forms.ts'
import { countWords } from './words.ts'

/** The cash box, counted by two people: short or over is named and stays open until an entry with words explains it. */
export function addCountPages({ get, post }: Pages): void {
  get('/cash-counts', 'money.see-all', listCashCounts)
  get('/cash-counts/new', 'payment.record', newCount)
  post('/cash-counts', 'payment.record', writeCount)
  get('/cash-counts/:id', 'money.see-all', showOneCount)
  post('/cash-counts/:id/explanation', 'payment.record', explainDifference)
  post('/cash-counts/:id/approval', 'turns.see', confirmCount)
}

async function listCashCounts(desk: Desk) {
  const counts = (await listCounts(desk.db)).map((count) => countShown(desk, count)).toReversed()
  return page(desk, 'fees/cash/counts', { title: 'money.counts-title', counts })
}

async function newCount(desk: Desk) {
  return showCountForm(desk, emptyForm({ column: 'cash', countedOn: desk.today }))
}

async function writeCount(desk: Desk) {
  const form = readForm(countForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showCountForm(desk, form)
  const { column, countedOn, counted, secondId } = form.data
  const others = (await listPersons(desk.db)).filter((person) => person.id !== desk.person.id)
  if (!others.some((person) => person.id === secondId)) {
    return showCountForm(desk, withError(form, 'secondId', 'money.count.second-other'))
  }
  if (countedOn > desk.today) {
    return showCountForm(desk, withError(form, 'countedOn', 'money.day-to-come'))
  }
  return write(
    desk,
    (pen) => recordCount(pen, { column, countedOn, countedMinor: counted, secondId }),
    (id) => `/money/cash-counts/${id}`,
  )
}

async function showOneCount(desk: Desk<'id'>) {
  const count = await countOf(desk)
  return showCount(desk, count, emptyForm())
}

async function explainDifference(desk: Desk<'id'>) {
  const count = await countOf(desk)
  if (count.differenceMinor === 0) throw new PageError(409, 'money.count.nothing-open')
  const form = readForm(WordsForm, desk.body)
  if (!form.ok) return showCount(desk, count, form)
  return write(
    desk,
    async (pen) => {
      const fresh = found((await listCounts(pen.trx)).find((one) => one.id === count.id))
      if (fresh.differenceMinor === 0) throw new PageError(409, 'money.count.nothing-open')
      // In the open period: on the day of the count while that is open, else today.
      const closed = await closedUntil(pen.trx)
      const onDate = closed !== null && fresh.countedOn <= closed ? desk.today : fresh.countedOn
      await explainCount(pen, { count: fresh, words: form.data.words, onDate })
    },
    () => `/money/cash-counts/${count.id}`,
  )
}

async function confirmCount(desk: Desk<'id'>) {
  const count = await countOf(desk)
  if (count.secondId !== desk.person.id) throw new PageError(403, 'money.count.not-you')
  if (count.approval) throw new PageError(409, 'error.page-409')
  return write(
    desk,
    (pen) => approve(pen, count.id),
    () => '/money',
  )
}

async function countOf(desk: Desk<'id'>): Promise<CashCount> {
  const { id } = desk.params
  return found((await listCounts(desk.db)).find((count) => count.id === id))
}

async function showCountForm(desk: Desk, filled: Filled) {
  const others = (await listPersons(desk.db)).filter((person) => person.id !== desk.person.id)
  return formPage(desk, {
    title: 'money.count.title',
    form: countForm(moneyWords(desk).currency),
    filled,
    options: { secondId: others.map(({ id, number, name }) => ({ value: id, label: `${number} ${name}` })) },
    action: '/money/cash-counts',
    intro: ['money.count.intro'],
    back: '/money/cash-counts',
  })
}

async function showCount(desk: Desk, count: CashCount, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'fees/cash/count', {
    title: `money.count.heading-${count.column}`,
    titleValues: { date: desk.format.date(count.countedOn) },
    count: countShown(desk, count),
    form: WordsForm,
    filled,
    action: `/money/cash-counts/${count.id}/explanation`,
    submit: 'money.count.explain-submit',
  })
}

function countShown(desk: Desk, count: CashCount) {
  const { format, locale } = desk
  const { money } = moneyWords(desk)
  const { id, differenceMinor, explained, approval } = count
  return {
    id,
    what: locale.t(`money.count.column.${count.column}`),
    date: format.date(count.countedOn),
    counted: money(count.countedMinor),
    book: money(count.bookMinor),
    result: countWords(desk, differenceMinor),
    open: differenceMinor !== 0,
    explained: explained && {
      words: explained.words ?? '',
      amount: money(explained.amountMinor),
      by: explained.writerName,
      at: format.instant(explained.writtenAt),
    },
    people: locale.t('money.count.people', { first: count.writerName, second: count.secondName }),
    confirmed: secondName(desk, approval),
    writtenAt: format.instant(count.writtenAt),
  }
}
