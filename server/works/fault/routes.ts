import { sum } from '../../../domain/sum.ts'
import { addRegister } from '../../book/register/routes.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { faultRegister, fixRegister, serviceRegister } from './registers.ts'
import { fixCosts, listFaults, serviceStates } from './store.ts'

/** The fault book: found, fixed, what it cost in days and coins; and the hours to the next service. */
export function addFaultPages(pages: Pages): void {
  pages.get('/log/faults', 'abstractions.see', showFaults)
  addRegister(pages, faultRegister)
  addRegister(pages, fixRegister)
  addRegister(pages, serviceRegister)
}

async function showFaults(desk: Desk) {
  const { inRow } = moneyWords(desk.request.visit)
  const faults = await listFaults(desk.db)
  const costs = await fixCosts(desk)
  return page(desk, 'works/fault/list', {
    title: 'abstractions.faults.title',
    seesCosts: desk.may('works.cost-see'),
    faults: faults.map((fault) => {
      const { costMinor = null, voucher = null } = costs.get(fault.fix?.id ?? '') ?? {}
      return { ...fault, voucher, cost: costMinor === null ? null : inRow(costMinor) }
    }),
    daysLost: sum(faults, ({ fix }) => fix?.daysLost ?? 0),
    services: await serviceStates(desk.db),
  })
}
