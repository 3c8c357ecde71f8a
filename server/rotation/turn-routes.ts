import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isCalendarDate } from '../../domain/calendar.ts'
import type { Parts } from '../app.ts'
import { currentGroup } from '../people/group-store.ts'
import { found } from '../web/errors.ts'
import { may } from '../web/guard.ts'
import { page } from '../web/page.ts'
import { weekValues } from './week-routes.ts'
import { findTurnWeek } from './week-store.ts'
import { heldWords, namedTurn, shownWeek } from './week-view.ts'

/** Why a plot gets what it gets, line by line: need, entitlement, received, level, volume, time. */
export function addTurnRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get<{ Params: { id: string } }>('/turns/:id', { preHandler: may('turns.see') }, async (request, reply) => {
    const weekStartOn = found(await findTurnWeek(db, request.params.id))
    const plotId = await plotOfTurn(request.params.id)
    return showReason(request, reply, weekStartOn, plotId)
  })

  app.get<{ Params: { start: string; plotId: string } }>(
    '/weeks/:start/plots/:plotId',
    { preHandler: may('turns.see') },
    async (request, reply) => {
      const { start, plotId } = request.params
      found(isCalendarDate(start) || undefined)
      return showReason(request, reply, start, plotId)
    },
  )

  async function plotOfTurn(id: string): Promise<string> {
    const row = await db.selectFrom('turn').select('plot_id').where('id', '=', id).executeTakeFirst()
    return found(row?.plot_id ?? undefined)
  }

  async function showReason(request: FastifyRequest, reply: FastifyReply, weekStartOn: string, plotId: string) {
    const group = found(await currentGroup(db))
    const week = found((await shownWeek(db, { group, weekStartOn, today: request.visit.today })) ?? undefined)
    const { inputs, results } = week
    const plot = found(inputs.plots.find((one) => one.id === plotId))
    const share = results.shares.find((one) => one.plotId === plotId) ?? null
    return page(request, reply, 'rotation/reason', {
      title: 'rotation.reason-title',
      titleValues: { number: plot.number, name: plot.name, ...weekValues(request, weekStartOn) },
      week,
      weekStartOn,
      plot,
      share,
      claim: inputs.claims.find((one) => one.plotId === plotId) ?? null,
      held: share && heldWords(inputs, share),
      notAdmitted: inputs.notAdmitted.find((one) => one.plotId === plotId) ?? null,
      turns: results.turns.filter((turn) => turn.plotId === plotId).map((turn) => namedTurn(inputs, turn)),
      unplaced: results.unplaced.filter((one) => one.claimId === plotId),
    })
  }
}
