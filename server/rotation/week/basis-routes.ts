import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { entriesToName } from '../basis/looked.ts'
import { basisLines } from '../basis/store.ts'
import { foundWeek } from './found.ts'
import { handEntries } from './last-look.ts'
import { draftOf } from './routes.ts'

/** A second name under all that parts are reckoned by and that one person wrote, as the last look showed it. */
export function addBasisPages({ post }: Pages): void {
  // Where nobody else holds an office any member's name counts, so the door stands open and what is behind it looks who comes.
  post('/turns/names/basis/:start', 'money.see-own', writeNames)
}

async function writeNames(desk: Desk<'start'>) {
  const shown = await foundWeek(desk)
  const week = draftOf(desk, shown)
  if (week.digest !== desk.posted('digest')) throw new PageError(409, 'rotation.draft-changed')
  const lines = [...(await basisLines(desk, week.inputs)), ...handEntries(week)]
  const ids = await entriesToName(desk, lines)
  if (ids.length === 0) throw new PageError(409, 'rotation.basis-none-to-name')
  return write(
    desk,
    async (pen) => {
      for (const id of ids) await approve(pen, id)
    },
    () => `/turns/weeks/${shown.weekStartOn}/publish`,
  )
}
