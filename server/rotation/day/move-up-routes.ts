import type { FastifyInstance } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { callableFrom } from '../clock.ts'
import { turnInBook } from '../published/turn-store.ts'
import { shownDay } from './lines.ts'
import { addMoveUp, moveUpOffers } from './move-up.ts'

/** The next on the list moves up into hours that became free; one form beside the turn. */
export function addMoveUpRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.post<{ Params: { id: string }; Body: { mover?: string } }>(
    '/:id/moving-up',
    { preHandler: may('abstraction.log') },
    async (request, reply) => {
      const { turn } = found(await turnInBook(db, request.params.id))
      const { locale, format, today } = request.visit
      if (turn.on < today) throw new PageError(409, 'day.not-beforehand')
      const group = found(await currentGroup(db))
      const fromMinute = callableFrom({ on: turn.on, today, now: now(), timeZone: group.timeZone })
      return write(
        { db, request, reply, at: now() },
        async (pen) => {
          const day = await shownDay(pen.trx, group, turn.on)
          const offers = await moveUpOffers(pen.trx, { group, day, fromMinute })
          const offer = offers.find((one) => one.freedId === turn.bookId && one.mover.bookId === request.body?.mover)
          if (!offer) throw new PageError(409, 'day.move-up-gone')
          const values = { plot: turn.plot?.number ?? '', clock: format.clock(turn.startMinute) }
          return addMoveUp(pen, { weekStartOn: day.weekStartOn, offer, reason: locale.t('day.move-up-reason', values) })
        },
        () => `/turns/days/${turn.on}`,
      )
    },
  )
}
