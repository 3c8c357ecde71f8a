import { write } from '../../book/pen.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { callableFrom } from '../clock.ts'
import { turnInBook } from '../published/turn-store.ts'
import { shownDay } from './lines.ts'
import { addMoveUp, moveUpOffers } from './move-up.ts'

/** The next on the list moves up into hours that became free; one form beside the turn. */
export function addMoveUpPages({ post }: Pages): void {
  post('/turns/:id/moves-up', 'abstraction.log', writeMoveUp)
}

async function writeMoveUp(desk: Desk<'id'>) {
  const { group, today, format, t } = desk
  const { turn } = found(await turnInBook(desk.db, desk.params.id))
  if (turn.on < today) throw new PageError(409, 'day.not-beforehand')
  const fromMinute = callableFrom({ on: turn.on, today, now: desk.at, timeZone: group.timeZone })
  return write(
    desk,
    async (pen) => {
      const day = await shownDay(pen.trx, desk.parts.rotation, group, turn.on)
      const offers = await moveUpOffers(pen.trx, { group, day, fromMinute })
      const offer = offers.find((one) => one.freedId === turn.bookId && one.mover.bookId === desk.posted('mover'))
      if (!offer) throw new PageError(409, 'day.move-up-gone')
      const values = { plot: turn.plot?.number ?? '', clock: format.clock(turn.startMinute) }
      return addMoveUp(pen, { weekStartOn: day.weekStartOn, offer, reason: t('day.move-up-reason', values) })
    },
    () => `/log/days/${turn.on}`,
  )
}
