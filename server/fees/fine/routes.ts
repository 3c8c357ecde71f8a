import { nextStep } from '../../../domain/people/ladder.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions } from '../../people/decision/state.ts'
import { stepsTowards } from '../../people/warning/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { payerOptions } from '../payer/options.ts'
import { listPayers } from '../payer/store.ts'
import { fineForm } from './forms.ts'
import { fineFor, fineShown, mayConfirm, showFineWith } from './pages.ts'
import { confirmFine, finesTowards, listFines, takeBack, writeFine } from './store.ts'

/** Fines: a rule, a fact, a hearing and a second name come before the money; an unpaid one lapses. */
export function addFinePages({ get, post }: Pages): void {
  get('/money/lines/fine', 'money.see-all', showFines)
  get('/money/fine', 'payment.record', newFine)
  post('/money/fine', 'payment.record', askForFine)
  get('/money/names/fine/:id', 'money.see-own', showFine)
  post('/money/names/fine/:id', 'fine.approve', approveFine)
  post('/money/names/fine/:id/back', 'payment.record', takeBackFine)
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
  const { amount, atOnce, minute, ...fine } = form.data
  if (!(await listPayers(desk.db)).has(fine.personId)) {
    return showForm(desk, withError(form, 'personId', 'error.choose'))
  }
  if (fine.heardOn > desk.today) {
    return showForm(desk, withError(form, 'heardOn', 'fines.fine.heard-first'))
  }
  if (fine.lapseOn <= fine.heardOn) {
    return showForm(desk, withError(form, 'lapseOn', 'fines.fine.lapse-later'))
  }
  const taken = [...(await stepsTowards(desk.db, fine.personId)), ...(await finesTowards(desk.db, fine.personId))]
  const offered = nextStep(taken, fine.heardOn)
  if (offered !== 'fine' && !atOnce) {
    return showForm(desk, withError(form, 'atOnce', `fines.fine.${offered}-first`))
  }
  return write(
    desk,
    (pen) => writeFine(pen, { ...fine, amountMinor: amount }, minute),
    (id) => `/money/names/fine/${id}`,
  )
}

async function showFine(desk: Desk<'id'>) {
  return showFineWith(desk, await fineFor(desk), emptyForm())
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
    (pen) => takeBack(pen, fine, { onDate: desk.today, reason }),
    () => `/money/names/fine/${fine.id}`,
  )
}

async function showForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'fines.fine.title',
    form: fineForm(moneyWords(desk).currency),
    filled,
    options: {
      personId: await payerOptions(desk.db),
      minute: await minuteOptions(desk),
    },
    action: '/money/fine',
    intro: ['fines.fine.intro'],
    back: '/money/lines/fine',
  })
}
