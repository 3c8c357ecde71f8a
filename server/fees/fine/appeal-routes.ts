import { write } from '../../book/pen.ts'
import { readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { decideAppeal, writeAppeal } from './appeal-store.ts'
import { FineAppealForm, FineDecisionForm } from './forms.ts'
import { fineFor, mayAppeal, mayDecide, showFineWith } from './pages.ts'

/** A fine that was charged may be appealed to another body; somebody without a part in it writes how that body decided. */
export function addFineAppealPages({ post }: Pages): void {
  post('/money/names/fine/:id/appeal', 'money.see-own', appeal)
  post('/money/names/fine/:id/decision', 'fine.approve', decide)
}

async function appeal(desk: Desk<'id'>) {
  const fine = await fineFor(desk)
  if (fine.personId !== desk.person.id && !desk.may('payment.record')) throw new PageError(403, 'error.page-403')
  if (!mayAppeal(desk, fine)) throw new PageError(409, 'fines.appeal.not-now')
  const form = readForm(FineAppealForm, desk.body)
  if (!form.ok) return showFineWith(desk, fine, form)
  return write(
    desk,
    (pen) => writeAppeal(pen, fine, form.data),
    () => `/money/names/fine/${fine.id}`,
  )
}

async function decide(desk: Desk<'id'>) {
  const fine = await fineFor(desk)
  if (!(await mayDecide(desk, fine))) throw new PageError(409, 'fines.decision.not-yours')
  const form = readForm(FineDecisionForm, desk.body)
  if (!form.ok) return showFineWith(desk, fine, form)
  const { way, words } = form.data
  const reason = desk.t('fines.decision.lifted-reason', { rule: fine.rule })
  return write(
    desk,
    (pen) => decideAppeal(pen, fine, { stands: way === 'stands', words, onDate: desk.today, reason }),
    () => '/money',
  )
}
