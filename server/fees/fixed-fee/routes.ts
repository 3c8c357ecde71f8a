import { sum } from '../../../domain/sum.ts'
import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions } from '../../people/decision/state.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { lastChargedDay } from '../ledger/charged-store.ts'
import { payerOptions } from '../payer/options.ts'
import { listPayers } from '../payer/store.ts'
import { PAYER_CLASSES } from '../tariff/store.ts'
import { lineWords } from '../tariff/words.ts'
import { PayerClassForm } from './forms.ts'
import { setPayerClass } from './payer-class-store.ts'
import { type DueFee, dueFees, postFees, untapedPlots } from './store.ts'
import { feeWorking } from './working.ts'

/** Charges by the month and the season, seen before they are posted; and who pays as a tenant or a school. */
export function addFixedFeePages({ get, post }: Pages): void {
  get('/money/charges?as=fees', 'charges.post', newFixedFees)
  post('/money/charges?as=fees', 'charges.post', writeFixedFees)
  get('/money/working/fee/:personId/:on/:kind', 'charges.post', showFixedFee)
  get('/money/settle/pays-as', 'tariff.set', newPayerClass)
  post('/money/settle/pays-as', 'tariff.set', writePayerClass)
}

async function newFixedFees(desk: Desk) {
  return showDue(desk)
}

async function writeFixedFees(desk: Desk) {
  const { today } = desk
  const due = await dueFees(desk.db, { toOn: today })
  const { seen } = (desk.body ?? {}) as { seen?: string }
  if (due.length === 0 || seen !== markOf(due)) return showDue(desk, { changed: true })
  return write(
    desk,
    (pen) => postFees(pen, { toOn: today, onDate: today, words: (fee) => wordsOf(desk, fee) }),
    () => '/money',
  )
}

async function showFixedFee(desk: Desk<'personId' | 'on' | 'kind'>) {
  const { personId, on, kind } = desk.params
  const due = await dueFees(desk.db, { toOn: desk.today })
  const fee = found(due.find(({ payer, line }) => payer.personId === personId && line.on === on && line.kind === kind))
  return workingPage(desk, await feeWorking(desk, { ...fee, personId }, '/money/charges?as=fees'))
}

async function newPayerClass(desk: Desk) {
  return showClass(desk, emptyForm({ fromOn: desk.today }))
}

async function writePayerClass(desk: Desk) {
  const form = readForm(PayerClassForm, desk.body)
  if (!form.ok) return showClass(desk, form)
  const { personId, payerClass, fromOn } = form.data
  if (!(await listPayers(desk.db)).has(personId)) {
    return showClass(desk, withError(form, 'personId', 'error.choose'))
  }
  if (await isOwnMatter(desk, [personId]))
    return showClass(desk, withError(form, 'personId', 'tariffs.payer-class.own'))
  const charged = await lastChargedDay(desk.db)
  if (charged !== null && fromOn <= charged) {
    const date = desk.format.date(charged)
    return showClass(desk, withError(form, 'fromOn', 'fees.tariff.already-charged', { date }))
  }
  const known = PAYER_CLASSES.find((name) => name === payerClass) ?? null
  return write(
    desk,
    (pen) => setPayerClass(pen, { personId, payerClass: known, fromOn }, form.data.minute),
    () => '/money/price',
  )
}

async function showDue(desk: Desk, { changed = false } = {}) {
  if (changed) desk.reply.code(409)
  const { inRow, money } = moneyWords(desk)
  const due = await dueFees(desk.db, { toOn: desk.today })
  return page(desk, 'fees/fixed-fees', {
    title: 'fixed-fee.fixed.title',
    changed,
    rows: due.map((fee) => ({
      number: fee.payer.number,
      name: fee.payer.name,
      what: wordsOf(desk, fee),
      href: `/money/working/fee/${fee.payer.personId}/${fee.line.on}/${fee.line.kind}`,
      amount: inRow(fee.line.amountMinor),
    })),
    total: money(sum(due, ({ line }) => line.amountMinor)),
    totalInRow: inRow(sum(due, ({ line }) => line.amountMinor)),
    seen: markOf(due),
    untaped: (await untapedPlots(desk.db, desk.today)).map(({ id, number, name }) => ({ id, number, name })),
  })
}

async function showClass(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'tariffs.payer-class.title',
    form: PayerClassForm,
    filled,
    options: {
      personId: await payerOptions(desk.db),
      minute: await minuteOptions(desk),
    },
    action: '/money/settle/pays-as',
    intro: ['tariffs.payer-class.intro'],
    back: '/money/price',
  })
}

function wordsOf(desk: Desk, { line, every }: DueFee): string {
  const { locale, format } = desk
  return locale.t(`fixed-fee.fixed.${every}`, { what: lineWords(desk, line), date: format.date(line.on) })
}

/** What was shown, so that nothing else is posted. */
function markOf(due: readonly DueFee[]): string {
  return `${due.length}/${sum(due, ({ line }) => line.amountMinor)}`
}
