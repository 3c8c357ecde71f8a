import type { FastifyInstance } from 'fastify'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { fairSeason } from '../fairness/season.ts'
import { canPicture } from './cans.ts'
import { plotRecord } from './record.ts'

/** The three facts that end a quarrel, on one page: agreed, drawn, corrected. Water only; what is owed is not shown here. */
export function addPlotRecordRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get<{ Params: { id: string } }>('/plots/:id/record', { preHandler: may('turns.see') }, async (request, reply) => {
    const { today } = request.visit
    const group = found(await currentGroup(db))
    const { seasonStartOn: fromOn, seasonEndOn: toOn, firstWeekday } = group
    const plot = found((await listPlots(db, today)).find((one) => one.id === request.params.id))
    const { fairness } = await fairSeason(db, group, today)
    const line = fairness.plots.find((one) => one.plotId === plot.id)
    return page({ request, reply }, 'rotation/plot-record/page', {
      title: 'record.title',
      titleValues: { number: plot.number, name: plot.name },
      plot,
      fromOn,
      picture: line ? canPicture({ dueM3: line.entitledM3, hadM3: line.receivedM3 }) : null,
      record: await plotRecord(db, { plotId: plot.id, fromOn, toOn, firstWeekday }),
    })
  })
}
