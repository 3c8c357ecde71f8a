import { moneyWords } from '../web/figures/money-words.ts'
import type { Desk, Pages } from '../web/pages/desk.ts'
import { page } from '../web/pages/page.ts'
import { listCounts } from './cash/count-store.ts'
import { countShown } from './cash/pages.ts'
import { statementsShown } from './money-statement/routes.ts'
import { reserveShown } from './voucher/reserve-routes.ts'

/** What is held where: the counts of the box, and folded the papers of bank and wallet and what is kept for the pump. */
export function addHeldPages({ get }: Pages): void {
  get('/money/held', 'closing.see', showHeld)
}

async function showHeld(desk: Desk) {
  const { inRow } = moneyWords(desk)
  return page(desk, 'fees/cash/held', {
    title: 'cash.held-title',
    counts: (await listCounts(desk.db)).map((count) => countShown(desk, count, inRow)).toReversed(),
    statements: desk.may('money.see-all') ? await statementsShown(desk) : null,
    reserve: desk.may('voucher.see') ? await reserveShown(desk) : null,
  })
}
