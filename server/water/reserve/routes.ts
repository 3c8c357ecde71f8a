import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { stateOr404 } from '../storage/found.ts'
import { missingFor, waterStates } from '../storage/state.ts'
import { drinkingCautionOn, waterSettingOn } from '../users/store.ts'
import { cautionWords, riseWords } from './words.ts'
import { reserveWorking } from './working.ts'

/** What is kept for people and animals, weir by weir, and why. */
export function addReservePages({ get }: Pages): void {
  get('/water/kept', 'water.see', showReserve)
  get('/water/working/kept/:id', 'water.see', showWorking)
}

async function showReserve(desk: Desk) {
  const states = await waterStates(desk.db, { on: desk.today })
  return page(desk, 'water/reserve/page', {
    title: 'water.reserve.title',
    states: states.map((state) => ({ ...state, missing: missingFor(state) })),
    uncounted: states.filter(({ users }) => !users),
    setting: await waterSettingOn(desk.db, desk.today),
    cautionWords: cautionWords(states, await drinkingCautionOn(desk.db, desk.today), desk),
    riseWords: riseWords(states, desk),
    cautions: ['water.caution-untreated'],
  })
}

async function showWorking(desk: Desk<'id'>) {
  return workingPage(desk, reserveWorking(await stateOr404(desk), desk))
}
