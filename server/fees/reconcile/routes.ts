import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { WordsForm } from '../cash/forms.ts'
import { periodBooks } from './books.ts'
import { noteFinding } from './finding-store.ts'
import { periodShown } from './pages.ts'
import { hrefOf, periodAsked } from './period.ts'

/** Words under what does not agree. */
export function addReconciliationPages({ get, post }: Pages): void {
  get('/money/settle/finding', 'payment.record', newFindingNote)
  post('/money/settle/finding', 'payment.record', writeFindingNote)
}

async function newFindingNote(desk: Desk) {
  return showNote(desk, emptyForm())
}

async function writeFindingNote(desk: Desk) {
  const form = readForm(WordsForm, desk.body)
  if (!form.ok) return showNote(desk, form)
  const { period, finding } = await findingAsked(desk)
  return write(
    desk,
    (pen) => noteFinding(pen, { finding: finding.key, words: form.data.words }),
    () => hrefOf(period),
  )
}

/** The matter that the address names, as it stands now; one that has closed meanwhile is not there any more. */
async function findingAsked(desk: Desk) {
  const query = desk.query
  const period = periodAsked(desk.group, query, desk.today)
  const shown = periodShown(desk, await periodBooks(desk.db, { ...period, today: desk.today }))
  const open = [...shown.findings.filter(({ byNote }) => byNote), ...shown.waiting, ...shown.cannotSay]
  return { period, finding: found(open.find(({ key }) => key === query.finding)) }
}

async function showNote(desk: Desk, filled: Filled) {
  const { period, finding } = await findingAsked(desk)
  const query = `period=${period.name}&on=${period.from}&finding=${encodeURIComponent(finding.key)}`
  return formPage(desk, {
    title: 'cash.explain.title',
    titleValues: { what: finding.sentence },
    form: WordsForm,
    filled,
    action: `/money/settle/finding?${query}`,
    intro: ['cash.explain.intro'],
    back: hrefOf(period),
  })
}
