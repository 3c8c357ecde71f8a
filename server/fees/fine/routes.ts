import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { payerOptions } from '../payer/options.ts'
import { listPayers } from '../payer/store.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { secondName, signed } from '../signed.ts'
import { fineForm } from './forms.ts'
import { confirmFine, type Fine, lapseFine, listFines, writeFine } from './store.ts'

/** Fines: a rule, a fact, a hearing and a second name come before the money; an unpaid one lapses. */
export function addFinePages({ get, post }: Pages): void {
  get('/fines', 'money.see-all', showFines)
  get('/fines/new', 'payment.record', newFine)
  post('/fines', 'payment.record', askForFine)
  get('/fines/:id', 'money.see-own', showFine)
  post('/fines/:id/approval', 'fine.approve', approveFine)
  post('/fines/:id/lapse', 'payment.record', takeBackFine)
}

async function showFines(desk: Desk) {
  const fines = (await listFines(desk.db)).toReversed()
  return page(desk, 'fees/fine/list', {
    title: 'fines.fines-title',
    fines: fines.map((fine) => fineShown(desk, fine)),
  })
}

async function newFine(desk: Desk) {
  return showForm(desk, emptyForm({ heardOn: desk.today }))
}

async function askForFine(desk: Desk) {
  const form = readForm(fineForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showForm(desk, form)
  const { amount, ...fine } = form.data
  if (!(await listPayers(desk.db)).has(fine.personId)) {
    return showForm(desk, withError(form, 'personId', 'error.choose'))
  }
  if (fine.heardOn > desk.today) {
    return showForm(desk, withError(form, 'heardOn', 'fines.fine.heard-first'))
  }
  if (fine.lapseOn <= fine.heardOn) {
    return showForm(desk, withError(form, 'lapseOn', 'fines.fine.lapse-later'))
  }
  return write(
    desk,
    (pen) => writeFine(pen, { ...fine, amountMinor: amount }),
    (id) => `/money/fines/${id}`,
  )
}

async function showFine(desk: Desk<'id'>) {
  const fine = await fineFor(desk)
  const own = desk.person.id
  const { today } = desk
  return page(desk, 'fees/fine/page', {
    title: 'fines.fine.heading',
    titleValues: { name: fine.personName },
    fine: fineShown(desk, fine),
    mayConfirm: mayConfirm(desk, fine),
    names: await namesShown(desk, fine.id),
    mayLapse: fine.transfer && !fine.lapsed && today >= fine.lapseOn && desk.may('payment.record') && own,
  })
}

async function approveFine(desk: Desk<'id'>) {
  const fine = await fineFor(desk)
  if (!mayConfirm(desk, fine)) throw new PageError(409, 'error.page-409')
  return write(
    desk,
    (pen) => confirmFine(pen, fine, desk.today),
    () => '/money',
  )
}

async function takeBackFine(desk: Desk<'id'>) {
  const fine = await fineFor(desk)
  if (fine.lapsed) throw new PageError(409, 'error.page-409')
  if (!fine.transfer || desk.today < fine.lapseOn) throw new PageError(409, 'fines.fine.lapse-early')
  const reason = desk.t('fines.fine.lapse-reason', { rule: fine.rule })
  return write(
    desk,
    (pen) => lapseFine(pen, fine, { onDate: desk.today, reason }),
    () => `/money/fines/${fine.id}`,
  )
}

/** A fine that waits for its second name is open to the officers who may give it, and to nobody by its money after that. */
async function fineFor(desk: Desk<'id'>): Promise<Fine> {
  const { id } = desk.params
  const fine = (await listFines(desk.db)).find((one) => one.id === id)
  if (!fine || !mayConfirm(desk, fine)) onlyMoneyOf(desk, fine?.personId)
  return found(fine)
}

async function showForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'fines.fine.title',
    form: fineForm(moneyWords(desk).currency),
    filled,
    options: {
      personId: await payerOptions(desk.db),
    },
    action: '/money/fines',
    intro: ['fines.fine.intro'],
    back: '/money/fines',
  })
}

/** Not by the writer, and not in one's own matter. */
function mayConfirm(desk: Desk, fine: Fine): boolean {
  const { id } = desk.person
  return !fine.approval && !fine.withheld && fine.writerId !== id && fine.personId !== id && desk.may('fine.approve')
}

function fineShown(desk: Desk, fine: Fine) {
  const { format, locale } = desk
  const { approval } = fine
  const state = fine.withheld ? 'withheld' : fine.lapsed ? 'lapsed' : fine.transfer ? 'posted' : 'waits'
  return {
    id: fine.id,
    name: fine.personName,
    rule: fine.rule,
    fact: fine.fact,
    hearing: locale.t('fines.fine.heard-line', { date: format.date(fine.heardOn), words: fine.hearing }),
    amount: moneyWords(desk).money(fine.amountMinor),
    lapse: format.date(fine.lapseOn),
    state: locale.t(`fines.fine.state.${state}`),
    writer: signed(desk, fine.writerName, fine.writtenAt),
    second: secondName(desk, approval),
  }
}
