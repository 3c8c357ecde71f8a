import { weekEndOn } from '../../../domain/weeks.ts'
import { type Desk, deskFor, inWordsOf, type Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { listPumps } from '../../works/pump/store.ts'
import { openSheet } from '../published/taken-back-store.ts'
import { alarmsOfWeek, foundWeek } from '../week/found.ts'
import { boardPage } from './page.ts'

/** The sheets of a published week that hang at the pumps. */
export function addBoardPages({ get }: Pages): void {
  get('/turns/weeks/:start/sheet', 'turns.see', showSheet)
}

async function showSheet(desk: Desk<'start'>) {
  const { week, ...beside } = await foundWeek(desk)
  if (!week?.published) throw new PageError(404, 'rotation.sheet-not-yet')
  const openedAt = desk.at.toISOString()
  await openSheet(desk.db, { publishedId: week.published.id, personId: desk.person.id, openedAt })
  const alarms = await alarmsOfWeek(desk)
  const pumps = await listPumps(desk.db, weekEndOn(week.inputs.weekStartOn, desk.group))
  // The sheets hang for everybody, so they speak the language of the group.
  const ofGroup = await deskFor(desk, null)
  return page(desk, 'rotation/board/page', {
    ...boardPage(ofGroup, { ...beside, week }, { pumps, reader: desk }),
    alarms,
    words: inWordsOf(ofGroup),
  })
}
