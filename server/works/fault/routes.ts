import { sum } from '../../../domain/sum.ts'
import { addRegister } from '../../book/register/routes.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { faultRegister, fixRegister, serviceRegister } from './registers.ts'
import { listFaults, serviceStates } from './store.ts'

/** The fault book: found, fixed, what it cost in days and coins; and the hours to the next service. */
export function addFaultPages(pages: Pages): void {
  pages.get('/faults', 'abstractions.see', showFaults)
  addRegister(pages, faultRegister)
  addRegister(pages, fixRegister)
  addRegister(pages, serviceRegister)
}

async function showFaults(desk: Desk) {
  const { money } = moneyWords(desk.request.visit)
  const faults = await listFaults(desk.db)
  return page(desk, 'works/fault/list', {
    title: 'abstractions.faults.title',
    faults: faults.map((fault) => ({
      ...fault,
      cost: fault.fix?.costMinor == null ? null : money(fault.fix.costMinor),
    })),
    daysLost: sum(faults, ({ fix }) => fix?.daysLost ?? 0),
    services: await serviceStates(desk.db),
  })
}
