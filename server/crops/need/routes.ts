import { group as grouped } from 'd3-array'
import { addDays, isCalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { nextWeekOn, previousWeekOn, weekEndOn, weekStartOf } from '../../../domain/weeks.ts'
import { listPlots } from '../../people/plot/store.ts'
import { dayDemand } from '../../water/weather/state.ts'
import { weatherDays } from '../../water/weather/store.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { longList } from '../../web/pages/long-list.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { cropNamer } from '../crop/words.ts'
import { crowding, growsUntil, isOverdue, isRipe } from '../plan/ground.ts'
import { cropPlans } from '../plan/store.ts'
import { placeOf } from '../weather/day-demand.ts'
import { needLines, type PlotRow } from './lines.ts'
import { type PlotNeed, weeklyNeeds } from './state.ts'
import { daysLeftInWords, needWorking, reasonsInWords } from './working.ts'

/** What each plot needs, what grows where, and the working of each need. */
export function addNeedPages({ get }: Pages): void {
  get('/crops', 'crops.see', showNeeds)
  get('/crops/plots/:plotId', 'crops.see', showNeed)
}

async function showNeeds(desk: Desk) {
  const { group } = desk
  const weekStartOn = weekAsked(desk, group)
  const needs = await weeklyNeeds(desk.db, { group, weekStartOn, today: desk.today })
  const plots = await listPlots(desk.db, weekStartOn)
  const grown = await grownRows(desk, plots)
  const needOf = new Map(needs.map((need) => [need.plotId, need]))
  const overdueOf = grouped(
    grown.filter((row) => row.overdue),
    (row) => row.plot.id,
  )
  const rows = plots.map((plot) => {
    const need = needOf.get(plot.id)!
    const overdue = (overdueOf.get(plot.id) ?? []).map((row) => ({ ...row.plan, crop: row.crop }))
    return { plot, need, overdue, left: need.daysLeft && daysLeftInWords(need.daysLeft, desk.t) }
  })
  const own = new Set(
    plots.filter(({ holders }) => holders.some(({ id }) => id === desk.person.id)).map(({ id }) => id),
  )
  return page(desk, 'crops/need/page', {
    title: 'crops.title',
    weekStartOn,
    thisWeek: weekStartOf(desk.today, group),
    earlier: previousWeekOn(weekStartOn, group),
    later: nextWeekOn(weekStartOn, group),
    any: rows.length > 0,
    list: longList(desk, needLines(desk, { rows, weekStartOn, own })),
    weekEndOn: weekEndOn(weekStartOn, group),
    reasons: reasonsOf(needs).map((reason) => reasonsInWords([reason], desk.t, desk.format)),
    toCome: needs[0]?.toCome.length ?? 0,
    total: totalOf(needs),
    said: saidOfPlots(desk, rows),
    grown: rowsInSheets(desk, 'crops', grown),
    ripe: desk.may('crops.declare') ? grown.filter(({ plan }) => isRipe(plan, desk.today)) : [],
    cropName: cropNamer(desk.locale),
  })
}

async function showNeed(desk: Desk<'plotId'>) {
  const { group } = desk
  const weekStartOn = weekAsked(desk, group)
  const plot = found((await listPlots(desk.db, weekStartOn)).find((one) => one.id === desk.params.plotId))
  const needs = await weeklyNeeds(desk.db, { group, weekStartOn, today: desk.today })
  const need = needs.find((one) => one.plotId === plot.id)!
  const read = await weatherDays(desk.db, { fromOn: addDays(weekStartOn, -14), toOn: addDays(weekStartOn, -1) })
  const place = placeOf(group, need.settings.demandRule)
  const days = read.map((day) => ({ day, demand: dayDemand(place, day) }))
  const { locale, format } = desk
  const working = needWorking({
    plot,
    need,
    days,
    weekStartOn,
    weekEndOn: weekEndOn(weekStartOn, group),
    nameOf: cropNamer(locale),
    t: locale.t,
    f: format,
  })
  return workingPage(desk, { ...working, doors: await harvestDoors(desk, plot.id) })
}

/** Whoever writes crops may write from here how each crop ended that was sown and that nobody has ended, ripe by the book or not. */
async function harvestDoors({ db, today, locale, may }: Desk, plotId: string) {
  if (!may('crops.declare')) return []
  const nameOf = cropNamer(locale)
  return (await cropPlans(db)).flatMap((plan) =>
    plan.plotId === plotId && plan.crop && plan.endedOn === null && plan.sownOn <= today
      ? [{ href: `/crops/plans/${plan.id}/end`, words: locale.t('crops.ending.door-of', { crop: nameOf(plan.crop) }) }]
      : [],
  )
}

async function grownRows({ db, today }: Desk, plots: Awaited<ReturnType<typeof listPlots>>) {
  const plans = await cropPlans(db)
  const shown = plans.filter((plan) => plan.endedOn === null || plan.endedOn >= today)
  const plotOf = new Map(plots.map((plot) => [plot.id, plot]))
  const ofPlot = grouped(plans, (plan) => plan.plotId)
  return shown.flatMap((plan) => {
    const plot = plotOf.get(plan.plotId)
    const { crop } = plan
    if (!plot || !crop) return []
    const overdue = isOverdue(plan, today)
    return [
      { plan, plot, crop, untilOn: growsUntil(plan), overdue, crowding: crowding(plot, plan, ofPlot.get(plot.id)!) },
    ]
  })
}

/** The week of the day asked for, else the present one. */
function weekAsked(desk: Desk, group: Group): string {
  const asked = desk.query.week ?? ''
  return weekStartOf(isCalendarDate(asked) ? asked : desk.today, group)
}

function reasonsOf(needs: readonly PlotNeed[]) {
  const all = needs.flatMap((need) => need.cannotSay)
  return [...new Map(all.map((reason) => [JSON.stringify(reason), reason])).values()]
}

/** The plots together; null as soon as one of them cannot be said. */
function totalOf(needs: readonly PlotNeed[]): { lowM3: M3; highM3: M3 } | null {
  if (needs.some((one) => one.need === null)) return null
  return { lowM3: sum(needs, ({ need }) => need!.lowM3), highM3: sum(needs, ({ need }) => need!.highM3) }
}

/** What the list of plots amounts to: who is short, who is next, whose crop is over by the book. */
function saidOfPlots({ t, today, format }: Desk, rows: readonly PlotRow[]): string[] {
  const numbers = (some: readonly PlotRow[]) => ({
    count: some.length,
    plots: some.map(({ plot }) => plot.number).join(', '),
  })
  const shortNow = rows.filter(({ need }) => need.daysLeft?.likely === 0)
  const overdue = rows.filter((row) => row.overdue.length > 0)
  const due = rows.flatMap(({ plot, need }) => (need.daysLeft?.likely ? [{ plot, days: need.daysLeft.likely }] : []))
  const next = due.sort((a, b) => a.days - b.days).slice(0, 1)
  return [
    ...(shortNow.length > 0 ? [t('crops.short-of-water', numbers(shortNow))] : []),
    ...next.map(({ plot: { number, name }, days }) => {
      const said = t(shortNow.length > 0 ? 'crops.next-to-suffer' : 'crops.first-to-suffer', { number, name, days })
      const by =
        days > 1 ? t('crops.water-by', { date: format.weekday(addDays(today, days - 1)) }) : t('crops.water-today')
      return `${said} ${by}`
    }),
    ...(overdue.length > 0 ? [t('crops.overdue-plots', numbers(overdue))] : []),
  ]
}
