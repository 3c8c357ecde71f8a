import { createHash } from 'node:crypto'
import { group } from 'd3-array'
import { type CalendarDate, isCalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { PlannedShare } from '../../../domain/rotation/draft/plan.ts'
import { weekFills } from '../../../domain/rotation/draft/tanks.ts'
import { withManualChanges } from '../../../domain/rotation/manual-change/week.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { PlannedWeek } from '../../../domain/rotation/week/planned-week.ts'
import type { Database } from '../../database/connection.ts'
import { reckoned } from '../../reckoner/reckoner.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import type { RotationAsks } from '../asks.ts'
import { weekInputs } from '../draft/inputs.ts'
import { type Amendment, amendmentsOf, waitingAmendments } from '../published/amendment-store.ts'
import { type NamedTurn, namedFills, namedTurn } from '../published/named-turn.ts'
import { findPublishedWeek, type PublishedWeek } from '../published/store.ts'

/** A week as its pages show it: published and frozen, or a draft reckoned from the book as it stands. */
export interface ShownWeek {
  inputs: WeekInputs
  results: PlannedWeek
  published: PublishedWeek | null
  /** Names the draft, so that what is published is what was looked at. */
  digest: string
  /** Dated changes after publication. */
  amendments: Amendment[]
  /** Changes by hand since, which wait for their second name. */
  waiting: Amendment[]
}

export async function shownWeek(
  db: Database,
  asks: RotationAsks,
  { group, weekStartOn, today }: { group: Group; weekStartOn: CalendarDate; today: string },
): Promise<ShownWeek | null> {
  const published = await findPublishedWeek(db, weekStartOn)
  if (published) {
    const amendments = await amendmentsOf(db, weekStartOn)
    const waiting = await waitingAmendments(db, weekStartOn)
    return { inputs: published.inputs, results: published.results, published, digest: '', amendments, waiting }
  }
  const inputs = await weekInputs(db, asks, { group, weekStartOn, today })
  if (!inputs) return null
  const results = withManualChanges(inputs, await reckoned('plan of a week', inputs))
  const digest = createHash('sha256')
    .update(JSON.stringify([inputs, results]))
    .digest('hex')
    .slice(0, 16)
  return { inputs, results, published: null, digest, amendments: [], waiting: [] }
}

/** The week of an address; 404 where no week can begin or be planned on that day. */
export async function weekOr404({ db, group, today, parts }: Desk, weekStartOn: CalendarDate): Promise<ShownWeek> {
  found(isCalendarDate(weekStartOn) || undefined)
  return found((await shownWeek(db, parts.rotation, { group, weekStartOn, today })) ?? undefined)
}

type ListedTurn = NamedTurn & { amendment?: string | null; droppedBy?: string | null }

/**
 * The turns of a week by day and pump, each with the names that the board shows. After publication the turns of the book
 * take their place: what was agreed, and beside it what later changes brought in; the tanks are then filled for those that stand,
 * and not by a pump of which a fault was written in late.
 */
export function turnsByDay(
  { inputs, results }: Pick<ShownWeek, 'inputs' | 'results'>,
  booked?: readonly ListedTurn[],
  late: WeekInputs['closures'] = [],
) {
  const turns: readonly ListedTurn[] = booked ?? results.turns.map((turn) => namedTurn(inputs, turn))
  const standing = turns.filter((turn) => !turn.droppedBy)
  const isAmended = turns.some((turn) => turn.droppedBy || turn.amendment)
  const now = { ...inputs, closures: [...inputs.closures, ...late] }
  const { fills = [] } = isAmended || late.length > 0 ? weekFills(now, standing) : results
  const places = placesInWeek(standing)
  return inputs.days.map((day) => {
    const ofDay = turns.filter((turn) => turn.on === day).map((turn) => ({ ...turn, place: places.get(turn) ?? null }))
    return {
      day,
      closed: inputs.closures.filter((closure) => closure.on === day).map((closure) => namedClosure(inputs, closure)),
      turns: ofDay,
      /** The turns and the filling of the tanks in the order of the clock. */
      rows: [...ofDay, ...namedFills(inputs, fills, day)].sort((a, b) => a.startMinute - b.startMinute),
    }
  })
}

/** Which of its plot's turns of the week each one is, where the plot has several. */
function placesInWeek(turns: readonly ListedTurn[]): Map<ListedTurn, { place: number; count: number }> {
  const ofPlot = group(
    turns.toSorted((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : a.startMinute - b.startMinute)),
    (turn) => turn.plotId,
  )
  const several = [...ofPlot.values()].filter((own) => own.length > 1)
  return new Map(several.flatMap((own) => own.map((turn, at) => [turn, { place: at + 1, count: own.length }] as const)))
}

/** A closure with the numbers on the plates of what it shuts. */
function namedClosure(inputs: WeekInputs, closure: WeekInputs['closures'][number]) {
  const pump = inputs.pumps.find((one) => one.id === closure.pumpId)
  const outlet = inputs.outlets.find((one) => one.id === closure.outletId)
  return { ...closure, pumpNumber: pump?.number ?? null, outletNumber: outlet?.number ?? null }
}

/** The shares of a week with their plots, in the order of plot numbers. */
export function namedShares({ inputs, results }: Pick<ShownWeek, 'inputs' | 'results'>) {
  return results.shares
    .map((share) => ({
      ...share,
      plot: inputs.plots.find((plot) => plot.id === share.plotId)!,
      isAsLastWeek: inputs.claims.find((claim) => claim.plotId === share.plotId)?.isAsLastWeek ?? false,
    }))
    .sort((a, b) => a.plot.number - b.plot.number)
}

/** What held a share back, as a key of the catalogue and its values. */
export function heldWords(
  { inputs, results }: Pick<ShownWeek, 'inputs' | 'results'>,
  { plotId, heldBy }: PlannedShare,
): { key: string; values: Record<string, string> } {
  if (results.hand?.changedPlotIds.includes(plotId)) return { key: 'week.held-manual', values: {} }
  if (!('id' in heldBy)) {
    const closed = inputs.turnFacts?.noTurnHours.filter((hours) => hours.plotId === plotId) ?? []
    if (heldBy.kind === 'hours' && closed.length > 0)
      return {
        key: 'rotation.held-hours-own',
        values: { words: [...new Set(closed.map(({ words }) => words))].join(', ') },
      }
    return { key: `rotation.held-${heldBy.kind}`, values: {} }
  }
  const { outlets, tanks = [], pumps, weirs } = inputs
  const places = { outlet: outlets, tank: tanks, pump: pumps, weir: weirs }[heldBy.kind]
  const place = places.find((one) => one.id === heldBy.id)
  return {
    key: `rotation.held-${heldBy.kind}`,
    values: { number: String(place?.number ?? ''), name: place?.name ?? '' },
  }
}
