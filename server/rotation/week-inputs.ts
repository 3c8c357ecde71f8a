import { addDays, datesFromTo } from '../../domain/calendar.ts'
import type { PastWeek, WeekClaim, WeekInputs, WeekWeir } from '../../domain/rotation/week-inputs.ts'
import { deliveredByPlot } from '../abstractions/abstraction-store.ts'
import { type PlotNeed, weeklyNeeds } from '../crops/needs.ts'
import type { Database } from '../database/connection.ts'
import type { Group } from '../people/group-store.ts'
import { listPlots, type Plot, receivedBefore } from '../people/plot-store.ts'
import { listOutlets, listPumps } from '../people/works-store.ts'
import { releasableStates, waterStates } from '../water/water-state.ts'
import { noTurnDays } from './no-turn-store.ts'
import { requestsFor, type WaterRequest } from './request-store.ts'
import { type SharingRule, sharingRuleOn } from './rule-store.ts'
import { turnGround } from './turn-ground.ts'
import { openTurns, publishedWeeks } from './week-store.ts'

/** Everything that a week is made of, read from the book as it stands on `today`; null while there is no sharing rule. */
export async function weekInputs(
  db: Database,
  { group, weekStartOn, today }: { group: Group; weekStartOn: string; today: string },
): Promise<WeekInputs | null> {
  const rule = await sharingRuleOn(db, weekStartOn)
  if (!rule) return null
  const days = datesFromTo(weekStartOn, addDays(weekStartOn, 6))
  const plots = await listPlots(db, weekStartOn)
  const needs = await weeklyNeeds(db, { group, weekStartOn, today })
  const requests = await requestsFor(db, weekStartOn)
  return {
    weekStartOn,
    days,
    rule: ruleOf(rule),
    weirs: await weekWeirs(db, group, weekStartOn, today),
    ...(await turnGround(db, { group, days, plots })),
    outlets: (await listOutlets(db, weekStartOn)).flatMap(({ id, number, name, pumpId, flowM3PerH }) =>
      flowM3PerH === null ? [] : [{ id, number, name, pumpId, flowM3PerH }],
    ),
    plots: plots.map(plotOf),
    ...admitted(rule, plots, needs, requests),
    closures: (await noTurnDays(db, weekStartOn, days[6]!)).map(({ onDate, pumpId, words }) => ({
      on: onDate,
      pumpId,
      words,
    })),
    pastWeeks: await pastWeeks(db, group, weekStartOn, plots),
    receivedM3: await receivedSoFar(db, group, weekStartOn, today),
  }
}

function ruleOf({ fromOn, equalWeight, areaWeight, shareWeight, admission }: SharingRule) {
  return { fromOn, equalWeight, areaWeight, shareWeight, admission }
}

function plotOf({ id, number, name, holders, areaM2, shares, outletIds }: Plot) {
  return { id, number, name, holders: holders.map((holder) => holder.name), areaM2, shares, outletIds }
}

async function weekWeirs(db: Database, group: Group, weekStartOn: string, today: string): Promise<WeekWeir[]> {
  const states = await waterStates(db, { group, on: today })
  return releasableStates(states, { weekStartOn, group }).map(({ weir, state, releasable, cannotSay }): WeekWeir => {
    const { id, number, name } = weir
    const drinkingM3 = (state.dailyDrinkingM3 ?? 0) * 7
    if (!releasable || state.storage.cannotSay || state.lateRainOn === null) {
      return { id, number, name, releasableM3: 0, drinkingM3, working: null, cannotSay }
    }
    const { releasableM3, availableM3, basis, reserveM3, weeksLeft, heldBy } = releasable
    const { grade, readOn } = state.storage
    const working = { availableM3, basis, grade, readOn, reserveM3, lateRainOn: state.lateRainOn, weeksLeft, heldBy }
    return { id, number, name, releasableM3, drinkingM3, working, cannotSay: [] }
  })
}

/** Who has a claim this week: whoever asked, or every plot with a crop in the ground, as the rule says. */
function admitted(
  rule: SharingRule,
  plots: readonly Plot[],
  needs: readonly PlotNeed[],
  requests: readonly WaterRequest[],
): Pick<WeekInputs, 'claims' | 'notAdmitted'> {
  const claims: WeekClaim[] = []
  const notAdmitted: WeekInputs['notAdmitted'] = []
  for (const plot of plots) {
    const need = needs.find((one) => one.plotId === plot.id)
    const request = requests.find((one) => one.plotId === plot.id)
    if (rule.admission === 'request' && !request) notAdmitted.push({ plotId: plot.id, reason: 'not-asked', codes: [] })
    else if (!need || need.plans.length === 0) notAdmitted.push({ plotId: plot.id, reason: 'no-crop', codes: [] })
    else if (!need.need) notAdmitted.push({ plotId: plot.id, reason: 'need-unknown', codes: codesOf(need) })
    else {
      const { lowM3, likelyM3, highM3 } = need.need
      const needM3 = { low: lowM3, likely: likelyM3, high: highM3 }
      claims.push({ plotId: plot.id, needM3, requestedM3: request?.volumeM3 ?? null, latestOn: need.latestOn })
    }
  }
  return { claims, notAdmitted }
}

function codesOf(need: PlotNeed): string[] {
  return [...new Set(need.cannotSay.map((reason) => reason.code))]
}

/** Published weeks of this season, and what was received before the book began as a week of its own. */
async function pastWeeks(db: Database, group: Group, weekStartOn: string, plots: readonly Plot[]): Promise<PastWeek[]> {
  const published = (await publishedWeeks(db)).filter(
    (week) => week.weekStartOn < weekStartOn && week.weekStartOn >= addDays(group.seasonStartOn, -6),
  )
  const weeks = published.map(({ inputs, results }): PastWeek => {
    const released = inputs.weirs.map((weir) => {
      const drinking = results.drinking.find((one) => one.weirId === weir.id)?.allocatedM3 ?? 0
      return [weir.id, Math.max(0, weir.releasableM3 - drinking)]
    })
    return {
      weekStartOn: inputs.weekStartOn,
      releasedM3ByWeir: Object.fromEntries(released),
      claims: inputs.claims.map((claim) => ({ plotId: claim.plotId, needM3: claim.needM3.likely })),
      rule: inputs.rule,
    }
  })
  const rule = await sharingRuleOn(db, group.seasonStartOn)
  const before = rule && (await weekBefore(db, group, plots, rule))
  return before ? [before, ...weeks] : weeks
}

/**
 * For a group that starts in mid-season: all that was received before counts as released to all plots with a claim,
 * so that who had less than its part then is evened out now.
 */
async function weekBefore(
  db: Database,
  group: Group,
  plots: readonly Plot[],
  rule: SharingRule,
): Promise<PastWeek | null> {
  const before = await receivedBefore(db)
  if (before.size === 0) return null
  const outlets = await listOutlets(db, group.seasonEndOn)
  const pumps = await listPumps(db, group.seasonEndOn)
  const releasedM3ByWeir: Record<string, number> = {}
  for (const plot of plots) {
    const outlet = outlets.find((one) => plot.outletIds.includes(one.id))
    const weirId = pumps.find((pump) => pump.id === outlet?.pumpId)?.weirId
    if (weirId) releasedM3ByWeir[weirId] = (releasedM3ByWeir[weirId] ?? 0) + (before.get(plot.id)?.volumeM3 ?? 0)
  }
  const claims = plots.map((plot) => ({ plotId: plot.id, needM3: null }))
  return { weekStartOn: addDays(group.seasonStartOn, -7), releasedM3ByWeir, claims, rule: ruleOf(rule) }
}

/** Logged since the season began, counted before the book, and still due before the week begins. */
async function receivedSoFar(
  db: Database,
  group: Group,
  weekStartOn: string,
  today: string,
): Promise<Record<string, number>> {
  const received = new Map(await deliveredByPlot(db, { fromOn: group.seasonStartOn, toOn: addDays(weekStartOn, -1) }))
  const add = (plotId: string, volumeM3: number) => received.set(plotId, (received.get(plotId) ?? 0) + volumeM3)
  for (const [plotId, before] of await receivedBefore(db)) add(plotId, before.volumeM3)
  for (const turn of await openTurns(db, today, weekStartOn)) if (turn.plotId) add(turn.plotId, turn.volumeM3)
  return Object.fromEntries(received)
}
