import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { entitlementRule, weirsOf } from '../../../domain/rotation/draft/claims.ts'
import { entitlements } from '../../../domain/rotation/share/entitlements.ts'
import { countsForSeason } from '../../../domain/rotation/share/season-days.ts'
import type { PastWeek, WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { M3 } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import { type Plot, receivedBefore } from '../../people/plot/store.ts'
import { listOutlets, listPumps } from '../../works/pump/store.ts'
import type { RotationAsks } from '../asks.ts'
import { breakdownsByWeek, seasonFrom, settledMissed } from '../outcome/season.ts'
import { openTurns } from '../outcome/waiting-store.ts'
import { publishedWeeks } from '../published/store.ts'
import { householdsOn } from '../rule/household-store.ts'
import { type SharingRule, sharingRuleOn } from '../rule/store.ts'

/**
 * Published weeks of this season, and what was received before the book began as a week of its own. Water lost in a common
 * breakdown lowers what its plots were entitled to in that week.
 */
export async function pastWeeks(
  db: Database,
  group: Group,
  weekStartOn: CalendarDate,
  plots: readonly Plot[],
): Promise<PastWeek[]> {
  const published = (await publishedWeeks(db, { reaching: group.seasonStartOn })).filter(
    (week) => week.weekStartOn < weekStartOn && countsForSeason({ ...group, weekStartOn: week.weekStartOn }),
  )
  const lostM3 = await breakdownsByWeek(db, group, weekStartOn)
  const weeks = published.map(({ weekStartOn: start, results }): PastWeek => {
    const lost = lostM3[start] ?? {}
    const entitled = results.shares.map(({ plotId, weekEntitledM3 }) => [
      plotId,
      Math.max(0, weekEntitledM3 - (lost[plotId] ?? 0)),
    ])
    return { weekStartOn: start, entitledM3: Object.fromEntries(entitled) }
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
  if (Object.keys(releasedM3ByWeir).length === 0) return null
  const persons = await householdsOn(db, group.seasonStartOn)
  const week = {
    weekStartOn: addDays(group.seasonStartOn, -7),
    releasedM3ByWeir,
    claims: plots.map((plot) => ({ plotId: plot.id, needM3: null })),
  }
  const entitled = entitlements({
    plots: plots.map(({ id, areaM2, outletIds }) => ({
      id,
      areaM2,
      persons: persons.get(id)?.persons ?? 0,
      weirIds: weirsOf({ outlets, pumps }, { outletIds }),
    })),
    shares: plots.map(({ id, shares }) => ({ plotId: id, shares, fromOn: week.weekStartOn })),
    rule: entitlementRule(rule),
    weeks: [week],
  })
  return {
    weekStartOn: week.weekStartOn,
    entitledM3: Object.fromEntries(entitled.map(({ plotId, entitledM3 }) => [plotId, entitledM3])),
  }
}

/**
 * Logged since the first day that counts for the season, counted before the book, agreed before the week begins and not
 * written in yet or still due, and what was forfeited without word or excused and not made good in time.
 */
export async function receivedSoFar(
  db: Database,
  asks: RotationAsks,
  group: Group,
  weekStartOn: CalendarDate,
): Promise<Pick<WeekInputs, 'receivedM3' | 'countedM3'>> {
  const received = new Map(
    await asks.deliveredByPlot(db, { fromOn: await seasonFrom(db, group), toOn: addDays(weekStartOn, -1) }),
  )
  const add = (plotId: Id<'plot'>, volumeM3: M3) => received.set(plotId, (received.get(plotId) ?? 0) + volumeM3)
  for (const [plotId, before] of await receivedBefore(db)) add(plotId, before.volumeM3)
  // Paper lags behind the water: whoever is typed first must not stand behind whoever is not typed yet.
  const open = await openTurns(db, await seasonFrom(db, group), weekStartOn)
  for (const turn of open) if (turn.plotId) add(turn.plotId, turn.volumeM3)
  const { forfeitedM3, lapsedM3 } = await settledMissed(db, asks, group, weekStartOn)
  const countedM3: NonNullable<WeekInputs['countedM3']> = {}
  for (const plotId of new Set([...Object.keys(forfeitedM3), ...Object.keys(lapsedM3)])) {
    const counted = { forfeitedM3: forfeitedM3[plotId] ?? 0, lapsedM3: lapsedM3[plotId] ?? 0 }
    add(plotId, counted.forfeitedM3 + counted.lapsedM3)
    countedM3[plotId] = counted
  }
  return { receivedM3: Object.fromEntries(received), countedM3 }
}
