import type { CalendarDate } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import type { Id } from '../allocation/types.ts'
import { type EntitlementMix, type Plot, partsOf, type ShareRow } from './mix.ts'

interface EntitlementRule extends EntitlementMix {
  /** Another mix for the water of one weir. */
  byWeir?: Record<Id, EntitlementMix>
}

interface EntitlementWeek {
  weekStartOn: CalendarDate
  /** What was released in the week: one figure for the group, or one for each weir. */
  releasedM3?: M3
  releasedM3ByWeir?: Record<Id, number>
  /** The admitted claims of the week; null where the need was not reckoned, which caps nothing. */
  claims: readonly { plotId: Id; needM3: M3 | null }[]
  /** What came of it; empty for the coming week. */
  received?: readonly WeekReceived[]
  /** The rule that held then, where it was another. */
  rule?: EntitlementRule
}

interface WeekReceived {
  plotId: Id
  deliveredM3?: M3
  /** A turn not taken and not called off. */
  forfeitedM3?: M3
  /** An excused turn whose time to be made good has run out. */
  lapsedM3?: M3
  /** Lost to everyone by a breakdown; it lowers what the plot is entitled to. */
  breakdownM3?: M3
}

interface PlotWeek {
  weekStartOn: CalendarDate
  entitledM3: M3
  receivedM3: M3
}

interface Entitlement {
  plotId: Id
  entitledM3: M3
  receivedM3: M3
  byWeek: PlotWeek[]
}

/**
 * What each plot is entitled to and has received, for every week so far and the coming one.
 *
 * A week's entitlement is the plot's part of the water released in that week, at most that week's need, and nothing
 * without an admitted claim; what the need cuts off is not handed to the others (a plain cap), so low need, absence or
 * late planting banks nothing and takes nothing from anyone. The parts are reckoned among the plots that claim in that
 * week and can draw from that weir. Received = delivered + forfeited without word + excused but lapsed. Water lost in a
 * common breakdown comes off the week's entitlement, which does not fall below zero.
 * A group that starts in mid-season gives what went before as one earlier week.
 * Source: the group's own rule; common practice, no source.
 */
export function entitlements({
  plots,
  shares,
  rule,
  weeks,
}: {
  plots: readonly Plot[]
  shares: readonly ShareRow[]
  rule: EntitlementRule
  weeks: readonly EntitlementWeek[]
}): Entitlement[] {
  const known = new Set(plots.map(({ id }) => id))
  const entitledByWeek = weeks.map((week) => entitledInWeek(plots, shares, week.rule ?? rule, week, known))
  const receivedByWeek = weeks.map((week) => receivedInWeek(week, known))
  return plots.map(({ id }) => {
    const byWeek = weeks.map(
      ({ weekStartOn }, at): PlotWeek => ({
        weekStartOn,
        entitledM3: entitledByWeek[at]!.get(id) ?? 0,
        receivedM3: receivedByWeek[at]!.get(id) ?? 0,
      }),
    )
    return {
      plotId: id,
      entitledM3: sum(byWeek, ({ entitledM3 }) => entitledM3),
      receivedM3: sum(byWeek, ({ receivedM3 }) => receivedM3),
      byWeek,
    }
  })
}

function entitledInWeek(
  plots: readonly Plot[],
  shares: readonly ShareRow[],
  rule: EntitlementRule,
  week: EntitlementWeek,
  known: ReadonlySet<Id>,
): Map<Id, number> {
  const needs = new Map(week.claims.map(({ plotId, needM3 }) => [plotId, needM3 ?? Number.POSITIVE_INFINITY]))
  for (const [plotId, needM3] of needs) checked(known, plotId, needM3)
  const entitled = new Map<Id, number>()
  for (const { weirId, releasedM3 } of releases(week)) {
    const claiming = plots
      .filter((plot) => needs.has(plot.id) && reaches(plot, weirId))
      .map((plot) => ({ ...plot, needM3: knownNeed(needs.get(plot.id)!) }))
    const mix = (weirId !== null && rule.byWeir?.[weirId]) || rule
    const parts = partsOf({ plots: claiming, shares, mix, onDate: week.weekStartOn })
    for (const [plotId, part] of parts) entitled.set(plotId, (entitled.get(plotId) ?? 0) + part * releasedM3)
  }
  const lost = new Map<Id, number>()
  for (const { plotId, breakdownM3 = 0 } of week.received ?? []) lost.set(plotId, (lost.get(plotId) ?? 0) + breakdownM3)
  for (const [plotId, volumeM3] of entitled) {
    entitled.set(plotId, Math.max(0, Math.min(volumeM3, needs.get(plotId)!) - (lost.get(plotId) ?? 0)))
  }
  return entitled
}

function knownNeed(needM3: M3): number | null {
  return Number.isFinite(needM3) ? needM3 : null
}

/** A null weir stands for the group's water as a whole. */
function releases(week: EntitlementWeek): { weirId: Id | null; releasedM3: M3 }[] {
  const byWeir = Object.entries(week.releasedM3ByWeir ?? {})
  if (byWeir.length > 0 === (week.releasedM3 !== undefined)) {
    throw new InputError('release-once', { weekStartOn: week.weekStartOn })
  }
  const all = byWeir.length > 0 ? byWeir : [[null, week.releasedM3!] as const]
  return all.map(([weirId, releasedM3]) => {
    if (!(releasedM3 >= 0)) throw new InputError('volume-below-zero', { kind: 'release', id: weirId ?? '', releasedM3 })
    return { weirId, releasedM3 }
  })
}

function reaches({ weirIds }: Plot, weirId: Id | null): boolean {
  return weirId === null || weirIds === undefined || weirIds.includes(weirId)
}

function receivedInWeek(week: EntitlementWeek, known: ReadonlySet<Id>): Map<Id, number> {
  const received = new Map<Id, number>()
  for (const { plotId, deliveredM3 = 0, forfeitedM3 = 0, lapsedM3 = 0, breakdownM3 = 0 } of week.received ?? []) {
    for (const volumeM3 of [deliveredM3, forfeitedM3, lapsedM3, breakdownM3]) checked(known, plotId, volumeM3)
    received.set(plotId, (received.get(plotId) ?? 0) + deliveredM3 + forfeitedM3 + lapsedM3)
  }
  return received
}

function checked(known: ReadonlySet<Id>, plotId: Id, volumeM3: M3): void {
  if (!known.has(plotId)) throw new RangeError(`unknown plot ${plotId}`)
  if (!(volumeM3 >= 0)) throw new InputError('volume-below-zero', { kind: 'plot', id: plotId, volumeM3 })
}
