import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { addNewFinePages } from './new-routes.ts'
import { fineFor, fineShown, mayConfirm, showFineWith } from './pages.ts'
import { confirmFine, listFines, takeBack, unpaidMinor } from './store.ts'

/** Fines: a rule, a fact, a hearing and a second name come before the money; an unpaid one lapses. */
export function addFinePages(pages: Pages): void {
  const { get, post } = pages
  addNewFinePages(pages)
  get('/money/lines/fine', 'money.see-all', showFines)
  get('/money/names/fine/:id', 'money.see-own', showFine)
  post('/money/names/fine/:id', 'fine.approve', approveFine)
  post('/money/names/fine/:id/back', 'payment.record', takeBackFine)
}

async function showFines(desk: Desk) {
  const fines = (await listFines(desk.db)).toReversed()
  return page(desk, 'fees/fine/list', {
    title: 'fines.fines-title',
    fines: fines.map((fine) => fineShown(desk, fine, moneyWords(desk).inRow)),
  })
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
  if (await isOwnMatter(desk, [fine.personId])) throw new PageError(409, 'names.own-matter')
  const amountMinor = await unpaidMinor(desk.db, fine)
  if (amountMinor === 0 || desk.today < fine.lapseOn) throw new PageError(409, 'fines.fine.lapse-early')
  const reason = desk.t('fines.fine.lapse-reason', { rule: fine.rule })
  return write(
    desk,
    (pen) => takeBack(pen, fine, { onDate: desk.today, reason, amountMinor }),
    () => `/money/names/fine/${fine.id}`,
  )
}
