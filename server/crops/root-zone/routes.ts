import type { FastifyInstance } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { cropNamer } from '../crop/words.ts'
import { reasonsInWords } from '../need/working.ts'
import { cropPlans } from '../plan/store.ts'
import { planRootZone } from './balance.ts'
import { rootZonePicture } from './picture.ts'

/** Days of the past that the table shows at once; earlier ones are folded away. */
const RECENT_DAYS = 21
/** Days to come in picture and table: longer, and the likely demand says nothing any more. Common practice, no source. */
const DAYS_AHEAD = 14

/** One crop's root zone day by day. */
export function addRootZoneRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get<{ Params: { id: string } }>(
    '/crop-plans/:id/root-zone',
    { preHandler: may('crops.see') },
    async (request, reply) => {
      const { today, locale, format } = request.visit
      const group = found(await currentGroup(db))
      const plans = await cropPlans(db)
      const plan = found(plans.find((one) => one.id === request.params.id && one.crop?.stageDays))
      const plot = found((await listPlots(db, today)).find((one) => one.id === plan.plotId))
      const zone = await planRootZone(db, { group, plan, plot, plans, today })
      const { outlook } = zone
      const ahead = outlook.known ? outlook.ahead.filter((day) => day.date < addDays(today, DAYS_AHEAD)) : []
      const past = outlook.known ? outlook.past : []
      const filled = new Map(outlook.known ? outlook.filled.map((day) => [day.date, day]) : [])
      return page({ request, reply }, 'crops/root-zone', {
        title: 'planting.root-zone.title',
        titleValues: { crop: cropNamer(locale)(plan.crop!), plot: plot.number, name: plot.name },
        ...{ plan, plot, zone, outlook, ahead, gapOn: filled },
        recent: past.slice(-RECENT_DAYS),
        before: past.slice(0, -RECENT_DAYS),
        last: past.at(-1) ?? null,
        picture: rootZonePicture(past, ahead),
        reasons: outlook.known ? '' : reasonsInWords(outlook.reasons, locale.t, format),
      })
    },
  )
}
