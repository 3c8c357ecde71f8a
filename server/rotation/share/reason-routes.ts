import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isCalendarDate } from '../../../domain/calendar.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { namedTurn } from '../published/named-turn.ts'
import { bookedTurns, replacementOf, turnInBook } from '../published/turn-store.ts'
import { shortReason } from '../slip/reason.ts'
import { amendmentLines, handLines } from '../week/change-lines.ts'
import { methodOfWeek, orderOfShare } from '../week/order-words.ts'
import { heldWords, shownWeek } from '../week/view.ts'
import { weekValues } from '../week/words.ts'

/** Why a plot gets what it gets, line by line: need, entitlement, received, level, volume, time. */
export function addTurnRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get<{ Params: { id: string } }>('/:id', { preHandler: may('turns.see') }, async (request, reply) => {
    const { week, turn } = found(await turnInBook(db, request.params.id))
    return showReason(request, reply, { start: week.inputs.weekStartOn, plotId: turn.plotId, turnId: turn.bookId })
  })

  app.get<{ Params: { start: string; plotId: string } }>(
    '/weeks/:start/plots/:plotId',
    { preHandler: may('turns.see') },
    async (request, reply) => {
      const { start, plotId } = request.params
      found(isCalendarDate(start) || undefined)
      return showReason(request, reply, { start, plotId, turnId: null })
    },
  )

  async function showReason(
    request: FastifyRequest,
    reply: FastifyReply,
    { start: weekStartOn, plotId, turnId }: { start: string; plotId: string; turnId: string | null },
  ) {
    const group = found(await currentGroup(db))
    const week = found((await shownWeek(db, { group, weekStartOn, today: request.visit.today })) ?? undefined)
    const { inputs, results } = week
    const plot = found(inputs.plots.find((one) => one.id === plotId))
    const share = results.shares.find((one) => one.plotId === plotId) ?? null
    const booked = (await bookedTurns(db, weekStartOn))?.turns
    const turns = booked
      ? booked.map((turn) => ({ ...turn, isChanged: replacementOf(booked, turn) !== undefined }))
      : results.turns.map((turn) => namedTurn(inputs, turn))
    return page({ request, reply }, 'rotation/share/reason', {
      title: 'rotation.reason-title',
      titleValues: { number: plot.number, name: plot.name, ...weekValues(request, weekStartOn) },
      week,
      weekStartOn,
      plot,
      share,
      claim: inputs.claims.find((one) => one.plotId === plotId) ?? null,
      held: share && heldWords(week, share),
      order: share && orderOfShare(inputs, share, request.visit.locale),
      method: methodOfWeek(inputs, request.visit.locale),
      sumM3: share && tenths(share.receivedM3) + tenths(share.allocatedM3),
      notAdmitted: inputs.notAdmitted.find((one) => one.plotId === plotId) ?? null,
      short: share && shortReason(week, share, request.visit),
      turnId,
      turns: turns.filter((turn) => turn.plotId === plotId),
      hand: [
        ...handLines(week, request.visit).filter(({ refused }) => refused === null),
        ...amendmentLines(week, week.amendments, request.visit),
      ].filter((line) => line.plotId === plotId),
      unplaced: results.unplaced.filter((one) => one.claimId === plotId),
    })
  }
}

/** Rounded as it is shown, so that a reader who adds the shown figures comes to the shown sum. */
function tenths(volumeM3: number): number {
  return Math.round(volumeM3 * 10) / 10
}
