import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { WeekRule } from '../../../domain/rotation/week/inputs.ts'
import type { M3 } from '../../../domain/units.ts'
import { needsByWeir } from '../../../domain/water/path/needs.ts'
import { type PlotAhead, plotsAhead } from '../../crops/season/ahead-state.ts'
import type { Database } from '../../database/connection.ts'
import { type OutletsOf, plotOutlets } from '../../works/pump/weirs-store.ts'

/** What a plot's root zones lack this week; null where that cannot be said. */
export interface KnownNeed {
  plotId: Id<'plot'>
  need: { likelyM3: M3 } | null
}

interface Asked {
  group: Group
  weekStartOn: CalendarDate
  today: CalendarDate
  /** Days of it and of each week after it to the late date of rain. */
  weekDays: readonly number[]
  /** What the root zones lack in the week itself. */
  needs: readonly KnownNeed[]
}

/**
 * The gross need of each weir's plots, m3, in a week and in those after it to the late date of rain: the week's own from
 * the root zone, later ones from what is declared; by area only at a weir where nobody has declared anything.
 */
export async function weirNeeds(db: Database, asked: Asked): Promise<Map<string, number[]>> {
  const { group, weekStartOn, today, weekDays, needs } = asked
  const ahead = await plotsAhead(db, { group, fromOn: weekStartOn, today, weekDays })
  const outletsOf = await plotOutlets(db, weekStartOn)
  const now = new Map(needs.map(({ plotId, need }) => [plotId, need?.likelyM3]))
  const planned = byWeir(ahead, outletsOf, ({ plot, plannedM3 }) => plannedM3 && withNow(plannedM3, now.get(plot.id)))
  const byArea = byWeir(ahead, outletsOf, ({ byAreaM3 }) => byAreaM3)
  return new Map([...byArea, ...planned])
}

function withNow(plannedM3: readonly number[], nowM3: M3 | undefined): number[] {
  return nowM3 === undefined ? [...plannedM3] : [nowM3, ...plannedM3.slice(1)]
}

function byWeir(
  ahead: readonly PlotAhead[],
  outletsOf: OutletsOf,
  needsOf: (one: PlotAhead) => readonly number[] | null,
): Map<string, number[]> {
  const plots = ahead.flatMap((one) => {
    const needsM3 = needsOf(one)
    return needsM3 ? [{ needsM3, outlets: outletsOf(one.plot) }] : []
  })
  return needsByWeir({ plots })
}

/** The spare part is water that is booked later: what the path carries must hold it beside the plots' need. */
export function withSpare(needM3: M3, { sparePart }: Pick<WeekRule, 'sparePart'>, drinkingM3: M3): number {
  return needM3 > 0 ? (needM3 + sparePart * drinkingM3) / (1 - sparePart) : 0
}
