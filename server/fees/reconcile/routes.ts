import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { WordsForm } from '../cash/forms.ts'
import { closingOfPeriod } from '../ledger/closed-store.ts'
import { fewPayers } from '../payer/few.ts'
import { seesAllMoney } from '../privacy.ts'
import { periodBooks } from './books.ts'
import { noteFinding } from './finding-store.ts'
import { periodShown } from './pages.ts'
import { hrefOf, neighbourPeriods, PERIODS, periodAsked } from './period.ts'

/** Water and money of a week, a month or the season in one look, and words under what does not agree. */
export function addReconciliationPages({ get, post }: Pages): void {
  get('/money/agree', 'closing.see', showReconciliation)
  get('/money/settle/finding', 'payment.record', newFindingNote)
  post('/money/settle/finding', 'payment.record', writeFindingNote)
}

async function showReconciliation(desk: Desk) {
  const { group, today } = desk
  const period = periodAsked(group, desk.query, today)
  const shown = periodShown(desk, await periodBooks(desk.db, { ...period, today: desk.today }))
  const { before, after } = neighbourPeriods(group, period, today)
  const on = desk.query.on ?? today
  return page(desk, 'fees/reconcile/page', {
    title: 'reconcile.reconciliation-title',
    period,
    shown,
    few: !seesAllMoney(desk) && (await fewPayers(desk.db, period)),
    kinds: PERIODS.map((name) => ({
      name,
      href: `/money/agree?period=${name}&on=${on}`,
      here: name === period.name,
    })),
    before: before && hrefOf(before),
    after: after && hrefOf(after),
    here: hrefOf(period),
    noteAt: `/money/settle/finding?period=${period.name}&on=${period.from}`,
    ended: period.to <= today,
    closing: await closingOfPeriod(desk.db, period),
  })
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
  const open = [...shown.findings.filter(({ byNote }) => byNote), ...shown.cannotSay]
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
