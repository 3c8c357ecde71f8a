import type { Desk, Pages } from '../web/pages/desk.ts'
import { page } from '../web/pages/page.ts'
import { monthToClose } from './closing/month-state.ts'
import { closingsShown } from './closing/routes.ts'
import { closingOfPeriod } from './ledger/closed-store.ts'
import { fewPayers } from './payer/few.ts'
import { seesAllMoney } from './privacy.ts'
import { periodBooks } from './reconcile/books.ts'
import { periodShown } from './reconcile/pages.ts'
import { hrefOf, neighbourPeriods, noteAt, PERIODS, periodAsked } from './reconcile/period.ts'

/** Water and money of a week, a month or the season in one look, and folded what was closed. */
export function addAgreePages({ get }: Pages): void {
  get('/money/agree', 'closing.see', showReconciliation)
}

async function showReconciliation(desk: Desk) {
  const { group, today } = desk
  const period = periodAsked(group, desk.query, today)
  const shown = periodShown(desk, await periodBooks(desk.db, { ...period, today: desk.today }))
  const { before, after } = neighbourPeriods(group, period, today)
  const on = desk.query.on ?? today
  const open = await monthToClose(desk.db, group, today)
  return page(desk, 'fees/reconcile/page', {
    title: 'reconcile.reconciliation-title',
    period,
    // A month that nobody closed is not to be looked for behind the one that runs.
    toClose: open && open.from !== period.from ? { href: open.href, month: desk.format.month(open.from) } : null,
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
    noteAt: noteAt(period),
    ended: period.to <= today,
    closing: await closingOfPeriod(desk.db, period),
    closings: await closingsShown(desk),
  })
}
