import { group } from 'd3-array'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { receivedByPlot } from '../../../domain/rotation/fairness/received.ts'
import {
  type FairnessPlot,
  linePlace,
  type SeasonFairness,
  seasonFairness,
} from '../../../domain/rotation/fairness/season.ts'
import { type WishedHours, wishesMet } from '../../../domain/rotation/fairness/wishes-met.ts'
import { countsForSeason } from '../../../domain/rotation/share/season-days.ts'
import type { BurdenCounts } from '../../../domain/rotation/timetable/types.ts'
import { fallsOn, isWeekOver, weekEndOn, weekStartOf } from '../../../domain/weeks.ts'
import { kept } from '../../book/kept-answers.ts'
import { readAhead } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { agreedUnlogged, type UntypedTurn, untypedTurns } from '../../water/storage/untyped-store.ts'
import { listWeirs } from '../../water/weir/store.ts'
import { listOutlets, listPumps } from '../../works/pump/store.ts'
import type { LoggedDraw, RotationAsks } from '../asks.ts'
import { burdensBefore } from '../constraint/constraints.ts'
import { linePositionsOn } from '../constraint/line-store.ts'
import { carriedTurns } from '../outcome/carried-turns.ts'
import { publishedWeeks, type SeasonWeek } from '../published/store.ts'
import { requestDetails } from '../request/detail-store.ts'
import { requestRows, requestsOfWeeks, type WaterRequest } from '../request/store.ts'
import { holderGroupsOn } from './group-store.ts'

export interface FairSeason {
  fairness: SeasonFairness
  weeks: { weekStartOn: CalendarDate; entitledM3: Record<string, number>; receivedM3: Record<string, number> }[]
  /** Agreed turns of these weeks of which nobody has written a word; each counts as drawn, and may have been nothing. */
  untyped: number
  plots: readonly Plot[]
  weirs: readonly { id: string; number: number; name: string }[]
  burdens: Record<string, BurdenCounts>
  /** Wished hours that came with a turn, and how many were met. */
  wishes: { wished: number; met: number }
}

/** The season's weeks that are over: what each plot was entitled to in each, and what it received in it. */
export function fairSeason(db: Database, asks: RotationAsks, group: Group, today: string): Promise<FairSeason> {
  return kept(db, 'fairness of the season', { group, today }, () => reckonFairSeason(db, asks, group, today))
}

async function reckonFairSeason(db: Database, asks: RotationAsks, group: Group, today: string): Promise<FairSeason> {
  const over = (await publishedWeeks(db, { reaching: group.seasonStartOn })).filter(
    (week) =>
      countsForSeason({ ...group, weekStartOn: week.weekStartOn }) && isWeekOver(week.weekStartOn, group, today),
  )
  const span = {
    fromOn: over[0]?.weekStartOn ?? today,
    toOn: over.length > 0 ? weekEndOn(over.at(-1)!.weekStartOn, group) : today,
  }
  const starts = new Set(over.map((week) => week.weekStartOn))
  const delivered = await asks.deliveredByPlotAndWeek(db, { ...span, rhythm: group })
  const untilOver = { fromOn: span.fromOn, beforeOn: addDays(span.toOn, 1) }
  if (starts.size > 0) readAhead(db, agreedUnlogged(db, untilOver), requestRows(db, [...starts]))
  const untyped = await untypedTurns(db, untilOver)
  const silent = untyped.filter((turn) => starts.has(weekStartOf(turn.onDate, group)))
  const weeks = over.map(({ weekStartOn, results }) => ({
    weekStartOn,
    entitledM3: Object.fromEntries(results.shares.map((share) => [share.plotId, share.weekEntitledM3 ?? 0])),
    receivedM3: withUntyped(
      delivered.get(weekStartOn) ?? new Map(),
      silent.filter(({ onDate }) => weekStartOn === weekStartOf(onDate, group)),
    ),
  }))
  const plots = await listPlots(db, today)
  return {
    fairness: seasonFairness({
      plots: await fairPlots(db, today, plots),
      weeks,
      received:
        over.length > 0
          ? receivedSure(await asks.draws(db, span), silent, (on) => starts.has(weekStartOf(on, group)))
          : {},
    }),
    weeks,
    untyped: silent.length,
    plots,
    weirs: await listWeirs(db),
    burdens: await burdensBefore(db, group, addDays(today, 1)),
    wishes: await wishesOf(db, group, over),
  }
}

function withUntyped(delivered: ReadonlyMap<string, number>, silent: readonly UntypedTurn[]): Record<string, number> {
  const received = new Map(delivered)
  for (const { plotId, volumeM3 } of silent) if (plotId) received.set(plotId, (received.get(plotId) ?? 0) + volumeM3)
  return Object.fromEntries(received)
}

function receivedSure(draws: readonly LoggedDraw[], silent: readonly UntypedTurn[], counts: (on: string) => boolean) {
  const drawn = draws.filter((one) => one.use === 'irrigation' && counts(one.onDate))
  const deliveries = drawn.flatMap(({ plotId, volumeM3, uncertaintyM3, grade }) =>
    plotId ? [{ plotId, volumeM3, uncertaintyM3, grade }] : [],
  )
  const agreed = silent.flatMap(({ plotId, volumeM3 }) =>
    plotId ? [{ plotId, volumeM3, uncertaintyM3: volumeM3, grade: 'estimated' as const }] : [],
  )
  return Object.fromEntries(receivedByPlot({ deliveries: [...deliveries, ...agreed] }).map((one) => [one.plotId, one]))
}

/** Each plot with its third of the line, its weirs and the groups of its holders. */
async function fairPlots(db: Database, on: string, plots: readonly Plot[]): Promise<FairnessPlot[]> {
  const positions = await linePositionsOn(db, on)
  const groups = await holderGroupsOn(db, on)
  const outlets = await listOutlets(db, on)
  const pumps = await listPumps(db, on)
  // In the order of the outlets: the first pump is that of the first of them.
  const plotsOf = group(
    plots.flatMap((plot) => plot.outletIds.map((outletId) => ({ plot, outletId }))),
    ({ outletId }) => outletId,
  )
  const pumpsOf = new Map(plots.map(({ id }) => [id, new Set<Id<'pump'>>()]))
  const lastOn = new Map<Id<'pump'>, number>()
  for (const { id, pumpId } of outlets)
    for (const { plot } of plotsOf.get(id) ?? []) {
      pumpsOf.get(plot.id)!.add(pumpId)
      lastOn.set(pumpId, Math.max(lastOn.get(pumpId) ?? 0, positions[plot.id] ?? 0))
    }
  return plots.map((plot) => {
    const pumpIds = [...pumpsOf.get(plot.id)!]
    const position = positions[plot.id]
    const weirIds = pumps.filter((pump) => pumpIds.includes(pump.id)).map((pump) => pump.weirId)
    return {
      id: plot.id,
      linePlace: position === undefined || !pumpIds[0] ? null : linePlace({ position, last: lastOn.get(pumpIds[0])! }),
      weirIds: [...new Set(weirIds)],
      groups: [...new Set(plot.holders.flatMap((holder) => groups.get(holder.id) ?? []))],
    }
  })
}

/** The wished hours of some weeks, as they were known when each was published, against the turns as they were carried. */
async function wishesOf(
  db: Database,
  group: Group,
  weeks: readonly SeasonWeek[],
): Promise<{ wished: number; met: number }> {
  const requests = await requestsOfWeeks(
    db,
    weeks.map(({ weekStartOn }) => weekStartOn),
  )
  const known = weeks.map(({ weekStartOn, publishedAt }) =>
    requests.get(weekStartOn)!.filter((request) => request.writtenAt <= publishedAt),
  )
  const details = await requestDetails(db, [...new Set(known.flat().map(({ id }) => id))])
  const wishes = weeks.map((week, at) => wishedHours(known[at]!, details, group, week))
  const asked = weeks.filter((_, at) => wishes[at]!.length > 0)
  const turns = await carriedTurns(db, asked)
  const sums = { wished: 0, met: 0 }
  for (const [at, own] of wishes.filter(({ length }) => length > 0).entries()) {
    const { wished, met } = wishesMet({ wishes: own, turns: turns[at]! })
    sums.wished += wished
    sums.met += met
  }
  return sums
}

function wishedHours(
  requests: readonly WaterRequest[],
  details: Awaited<ReturnType<typeof requestDetails>>,
  group: Group,
  { inputs }: SeasonWeek,
): WishedHours[] {
  return requests.flatMap(({ id, plotId }) =>
    details
      .get(id)!
      .times.filter((time) => time.kind === 'wished')
      .flatMap(({ weekday, marketDay, fromHour, toHour }): WishedHours[] => {
        const wish = { plotId, weekday, fromHour, toHour }
        if (marketDay === null) return [wish]
        return inputs.days.filter((on) => fallsOn(on, { weekday, marketDay }, group)).map((on) => ({ ...wish, on }))
      }),
  )
}
