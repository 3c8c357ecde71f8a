import { addDays } from '../../../domain/calendar.ts'
import { listPlots } from '../../people/plot/store.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
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
export function addRootZonePages({ get }: Pages): void {
  get('/crop-plans/:id/root-zone', 'crops.see', showRootZone)
}

async function showRootZone(desk: Desk<'id'>) {
  const { today, locale, format, group } = desk
  const plans = await cropPlans(desk.db)
  const plan = found(plans.find((one) => one.id === desk.params.id && one.crop?.stageDays))
  const plot = found((await listPlots(desk.db, today)).find((one) => one.id === plan.plotId))
  const zone = await planRootZone(desk.db, { group, plan, plot, plans, today })
  const { outlook } = zone
  const ahead = outlook.known ? outlook.ahead.filter((day) => day.date < addDays(today, DAYS_AHEAD)) : []
  const past = outlook.known ? outlook.past : []
  const filled = new Map(outlook.known ? outlook.filled.map((day) => [day.date, day]) : [])
  return page(desk, 'crops/root-zone/page', {
    title: 'planting.root-zone.title',
    titleValues: { crop: cropNamer(locale)(plan.crop!), plot: plot.number, name: plot.name },
    plan,
    plot,
    zone,
    outlook,
    ahead,
    gapOn: filled,
    recent: past.slice(-RECENT_DAYS),
    before: past.slice(0, -RECENT_DAYS),
    last: past.at(-1) ?? null,
    picture: rootZonePicture(past, ahead),
    reasons: outlook.known ? '' : reasonsInWords(outlook.reasons, locale.t, format),
  })
}
