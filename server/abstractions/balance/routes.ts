import type { FastifyInstance, FastifyRequest } from 'fastify'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { listAbstractions } from '../draw/store.ts'
import { balanceCsv, drawsCsv } from './lists.ts'
import { seasonBalance } from './season.ts'
import { stretchWorking } from './working.ts'

/** The season balance as a page and as a list, each row with its working; and every draw as a list. */
export function addBalanceRoutes(app: FastifyInstance, { db }: Parts): void {
  const guard = { preHandler: may('abstractions.see') }

  app.get('/balance', guard, async (request, reply) => {
    const balance = await balanceOf(request)
    return page({ request, reply }, 'abstractions/balance/page', { title: 'abstractions.balance.title', balance })
  })

  app.get('/balance.csv', guard, async (request, reply) => {
    const balance = await balanceOf(request)
    return sendCsv(reply, `balance-${balance.toOn}`, writeCsv(balanceCsv(balance, request.visit.locale.t)))
  })

  app.get<{ Params: { weirId: string; fromOn: string } }>(
    '/balance/stretches/:weirId/:fromOn',
    guard,
    async (request, reply) => {
      const balance = await balanceOf(request)
      const { weirId, fromOn } = request.params
      const ofWeir = found(balance.weirs.find((one) => one.weir.id === weirId))
      const stretch = found(ofWeir.stretches.find((one) => one.fromOn === fromOn))
      const { locale, format } = request.visit
      return workingPage({ request, reply }, stretchWorking({ balance, ofWeir, stretch, t: locale.t, f: format }))
    },
  )

  app.get('/abstractions.csv', guard, async (request, reply) => {
    const group = found(await currentGroup(db))
    const draws = await listAbstractions(db, { fromOn: group.seasonStartOn, toOn: group.seasonEndOn })
    const csv = writeCsv(drawsCsv(draws, request.visit.locale.t))
    return sendCsv(reply, `abstractions-${request.visit.today}`, csv)
  })

  async function balanceOf(request: FastifyRequest) {
    return seasonBalance(db, { group: found(await currentGroup(db)), on: request.visit.today })
  }
}
