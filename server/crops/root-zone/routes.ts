import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { CannotSay } from '../../../domain/crops/plan.ts'
import { type RootZoneOutlook, rootZoneOutlook } from '../../../domain/crops/root-zone/outlook.ts'
import type { Group } from '../../../domain/people/group.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { countUntyped, type Untyped } from '../../water/storage/untyped-store.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { cropNamer } from '../crop/words.ts'
import { daysAtPlot, type SeasonBook, seasonBook } from '../need/book.ts'
import { type PlanGround, planGround, untypedOf } from '../need/plan-water.ts'
import { agreedUntil } from '../need/state.ts'
import { reasonsInWords } from '../need/working.ts'
import { cropPlans, type PlannedCrop } from '../plan/store.ts'
import { rootZonePicture } from './picture.ts'

/** Days of the past that the table shows at once; earlier ones are folded away. */
const RECENT_DAYS = 21
/** Days to come in picture and table: longer, and the likely demand says nothing any more. Common practice, no source. */
const DAYS_AHEAD = 14

/** One crop's root zone day by day. */
export function addRootZonePages({ get }: Pages): void {
  get('/crops/plans/:id/soil', 'crops.see', showRootZone)
}

async function showRootZone(desk: Desk<'id'>) {
  const { today, locale, format, group } = desk
  const plans = await cropPlans(desk.db)
  const plan = found(plans.find((one) => one.id === desk.params.id && one.crop?.stageDays))
  const plot = found((await listPlots(desk.db, today)).find((one) => one.id === plan.plotId))
  // Asked again within, so that it is let go with the plot and the crop that it was worked out from.
  const zone = await kept(desk.db, 'root zone of a crop', { planId: plan.id, today, group }, async () =>
    planRootZone(desk.db, {
      group,
      plan,
      today,
      plot: (await listPlots(desk.db, today)).find(({ id }) => id === plot.id)!,
      plans: await cropPlans(desk.db),
    }),
  )
  const { outlook } = zone
  const ahead = outlook.known ? outlook.ahead.filter((day) => day.date < addDays(today, DAYS_AHEAD)) : []
  const past = outlook.known ? outlook.past : []
  const filled = new Map(outlook.known ? outlook.filled.map((day) => [day.date, day]) : [])
  return page(desk, 'crops/root-zone/page', {
    title: 'root-zone.title',
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

interface PlanRootZone extends Pick<PlanGround, 'efficiency' | 'availableMmPerM' | 'rootedPart' | 'gauge' | 'local'> {
  outlook: RootZoneOutlook | CannotSay
  /** Rain as it was written and the water as it was logged, by day, before any rule. */
  rainMm: Map<CalendarDate, number>
  wateredM3: Map<CalendarDate, number>
  /** Agreed turns without a word, each anything from nothing to its volume. */
  untyped: Untyped
  settings: SeasonBook['settings']
}

/** The root zone of one crop from sowing up to today, from what was measured and really given, with the turns agreed to come. */
async function planRootZone(
  db: Database,
  {
    group,
    plan,
    plot,
    plans,
    today,
  }: { group: Group; plan: PlannedCrop; plot: Plot; plans: readonly PlannedCrop[]; today: CalendarDate },
): Promise<PlanRootZone> {
  const fromOn = [addDays(today, -30), plan.sownOn].sort()[0]!
  const book = await seasonBook(db, { place: group, fromOn, toOn: agreedUntil(today, group), on: today })
  const ground = planGround({ book, plot, plan, plans, today })
  const { efficiency, availableMmPerM, rootedPart, gauge, local } = ground
  const { days } = daysAtPlot(book, plot.id)
  const given = book.given.filter((one) => one.plotId === plot.id)
  return {
    outlook: rootZoneOutlook(ground),
    efficiency,
    availableMmPerM,
    rootedPart,
    gauge,
    local,
    settings: book.settings,
    rainMm: new Map(days.flatMap((day) => (day.rainMm === null ? [] : [[day.date, day.rainMm] as const]))),
    untyped: countUntyped(untypedOf(book, plot.id, today)),
    wateredM3: new Map(given.map((one) => [one.onDate, one.volumeM3])),
  }
}
