import { addRegister } from '../../book/register/routes.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { listPumps } from '../../works/pump/store.ts'
import { listTanks } from '../../works/tank/store.ts'
import { meterNightRegister, tankNightRegister } from './registers.ts'
import { nightTests } from './store.ts'

/** Night tests by a tank's level or a pump's meter, and the search for the line that leaks. */
export function addNightTestPages(pages: Pages): void {
  pages.get('/log/tests?as=night', 'abstractions.see', showTests)
  addRegister(pages, tankNightRegister)
  addRegister(pages, meterNightRegister)
}

async function showTests(desk: Desk) {
  return page(desk, 'abstractions/night-tests', {
    title: 'abstractions.night.title',
    tests: await nightTests(desk.db),
    tanks: await listTanks(desk.db),
    pumps: await listPumps(desk.db, desk.today),
  })
}
