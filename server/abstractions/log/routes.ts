import type { FastifyInstance } from 'fastify'
import { addDays, isCalendarDate } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import type { Parts } from '../../parts.ts'
import { listPlots } from '../../people/plot/store.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks } from '../../works/tank/store.ts'
import { openFlags } from '../plausibility/store.ts'
import { type DayLog, dayLog } from './store.ts'

/** The attendant's day: the turns to log, the other lines, what is odd among them. */
export function addLogRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get<{ Querystring: { on?: string } }>('/', { preHandler: may('abstractions.see') }, async (request, reply) => {
    const { today, group } = request.visit
    const on = dayAsked(request.query.on, today)
    const log = await dayLog(db, on)
    const flags = await openFlags(db, { draws: log.draws, timeZone: group?.timeZone ?? 'UTC' })
    return page({ request, reply }, 'abstractions/log', {
      title: on === today ? 'abstractions.log.title-today' : 'abstractions.log.title',
      titleValues: { day: request.visit.format.weekday(on) },
      on,
      before: addDays(on, -1),
      after: addDays(on, 1),
      asked: request.query.on === undefined || request.query.on === on ? null : request.query.on,
      turns: log.turns,
      tanks: await tankNumbers(on),
      others: log.others,
      holders: await holderNames(log, on),
      odd: Object.fromEntries([...flags].map(([id, list]) => [id, list.length])),
      drawnM3: sum(log.draws, (draw) => draw.volumeM3),
    })
  })

  /** The number of the tank that each outlet hangs on. */
  async function tankNumbers(on: string): Promise<Record<string, number>> {
    const tanks = new Map((await listTanks(db)).map((tank) => [tank.id, tank.number]))
    const fed = await tankOutletsOn(db, on)
    return Object.fromEntries([...fed].map(([outletId, { tankId }]) => [outletId, tanks.get(tankId) ?? 0]))
  }

  async function holderNames({ turns }: DayLog, on: string): Promise<Record<string, string>> {
    if (turns.length === 0) return {}
    const plots = await listPlots(db, on)
    return Object.fromEntries(plots.map((plot) => [plot.id, plot.holders.map((holder) => holder.name).join(', ')]))
  }
}

/** A day that is none is answered with today, and the page says so. */
function dayAsked(asked: string | undefined, today: string): string {
  return asked !== undefined && isCalendarDate(asked) ? asked : today
}
