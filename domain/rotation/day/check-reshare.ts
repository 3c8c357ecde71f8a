import { toLitreM3 } from '../../units.ts'
import { turnRules, weekTimetableInput } from '../draft/limits.ts'
import { withTurnFacts } from '../draft/with-turn-facts.ts'
import type { TimetableProblem } from '../timetable/check/problem.ts'
import { checkTimetable } from '../timetable/check/timetable.ts'
import type { ClosedHours, PlannedTurn, TimetableInput, TimetableRules } from '../timetable/types.ts'
import type { ResharedDay, ResharedTurn } from './reshare.ts'
import type { ReshareInput } from './reshare-input.ts'

/** Said of a whole week by whoever reckoned it; the rest of a day tells no reasons and counts no hard hours. */
const OF_A_WEEK = ['reason-untrue', 'note-untrue-or-missing', 'burdens-differ']
/** A turn that is running goes on at once, with whatever is left of it. */
const NOT_OF_A_RUNNING_TURN = ['turn-too-short', 'start-off-grid', 'line-not-filled']

/**
 * Judges a day that was shared anew from the raw inputs: the rest of the day goes to the same judge as a week, with the
 * lowered flow, the hours of each holder, the outlets that must not meet and the days without turns; each open turn must
 * be found again to the litre as drawn, still to come and short. Limits that a turn had set aside as it stood stay so.
 */
export function checkReshare({ input, reshared }: { input: ReshareInput; reshared: ResharedDay }): TimetableProblem[] {
  const drawing = reshared.turns.filter(({ carriedM3 }) => carriedM3 > 0)
  const turns = inOrder(drawing)
  const unplacedM3 = reshared.turns
    .filter(({ shortM3 }) => shortM3 > 0)
    .map(({ was, shortM3 }) => {
      return { claimId: was.id, outletId: was.outletId, volumeM3: shortM3, reason: 'pump-full' as const }
    })
  const running = new Set(input.turns.filter((turn) => turn.startMinute < input.fromMinute).map(({ id }) => id))
  const ofDay = checkTimetable({ input: restAsWeek(input, reshared), result: { turns, unplacedM3, notes: [] } })
  return [
    ...ofDay.filter(
      ({ code, values }) =>
        !OF_A_WEEK.includes(code) &&
        !(code === 'line-not-filled' && pumpRuns(input)) &&
        !(NOT_OF_A_RUNNING_TURN.includes(code) && running.has(String(values.turnId))),
    ),
    ...reshared.turns.flatMap((turn) => [...checkWhole(input, turn), ...checkDrawn(input, turn)]),
    ...turns.filter(({ id }) => !running.has(id)).flatMap((turn) => checkWalk(input, turn, turns)),
    ...reshared.turns.filter(({ was }) => !running.has(was.id)).flatMap((turn) => checkCall(input, turn)),
  ]
}

/** While the pump runs when the day changes, lines that wait may have filled before. */
function pumpRuns({ fromMinute, downUntilMinute = 0, flowM3PerHByHour }: ReshareInput): boolean {
  return downUntilMinute <= fromMinute && (flowM3PerHByHour[Math.floor(fromMinute / 60)] ?? 0) > 0
}

function inOrder(drawing: readonly ResharedTurn[]): PlannedTurn[] {
  return drawing
    .toSorted((a, b) => startOf(a) - startOf(b) || a.was.startMinute - b.was.startMinute || a.was.order - b.was.order)
    .map(({ was, carriedM3, stretch }, at) => {
      const { startMinute, endMinute } = stretch ?? { startMinute: -1, endMinute: -1 }
      const hours = (endMinute - startMinute) / 60
      return { ...was, claimId: was.id, order: at + 1, startMinute, endMinute, hours, volumeM3: carriedM3 }
    })
}

function startOf({ stretch }: ResharedTurn): number {
  return stretch?.startMinute ?? -1
}

/** The rest of the day as a week of one day; every open turn is a claim of its own, for what it had not drawn yet. */
function restAsWeek(input: ReshareInput, { turns }: ResharedDay): TimetableInput {
  const { inputs, on, pumpId, fromMinute, downUntilMinute = 0, openIds, flowM3PerHByHour } = input
  const drawnM3 = new Map(turns.map((turn) => [turn.was.id, turn.drawnM3]))
  const open = input.turns.filter(({ id }) => openIds.has(id))
  const allocations = open.flatMap(({ id, plotId, outletId, startMinute, volumeM3 }) => {
    const leftOut = input.loggedM3?.[id] ?? (startMinute < fromMinute ? volumeM3 : 0)
    const restM3 = toLitreM3(volumeM3 - (drawnM3.get(id) ?? leftOut))
    return restM3 > 0 ? [{ claimId: id, plotId, outletId, volumeM3: restM3 }] : []
  })
  const week = withTurnFacts(inputs, { ...weekTimetableInput(inputs, []), allocations, rules: rulesOf(input) })
  const byId = new Map(open.map((turn) => [turn.id, turn]))
  return {
    ...week,
    week: { startOn: on, days: [on] },
    pumps: [{ id: pumpId, flowM3PerHByDay: { [on]: [...flowM3PerHByHour] } }],
    outlets: week.outlets.filter((outlet) => outlet.pumpId === pumpId),
    unavailable: [{ pumpId, on, fromHour: 0, toHour: Math.max(fromMinute, downUntilMinute) / 60 }],
    allocations: week.allocations.map((allocation) => ({
      ...allocation,
      listPlace: undefined, // on the day the order is that of the turns as they stand
      // A day without turns on which one stands was set aside for it by the committee.
      canNot: (allocation.canNot ?? []).filter((hours) => !isSetAside(byId.get(allocation.claimId)!, hours)),
    })),
  }
}

function isSetAside(standing: PlannedTurn, { on, fromHour = 0, toHour = 24 }: ClosedHours): boolean {
  const isThatDay = on === undefined || on === standing.on
  return isThatDay && standing.startMinute < toHour * 60 - 1e-6 && standing.endMinute > fromHour * 60 + 1e-6
}

function rulesOf({ inputs, rules = turnRules(inputs) }: ReshareInput): TimetableRules {
  return rules
}

/** The turn that stands on the list now: its water is what was drawn and is to come, and it is not above the longest turn. */
function checkWhole(input: ReshareInput, { was, now, drawnM3, drawnBy, carriedM3, stretch }: ResharedTurn) {
  const listedM3 = carriedM3 + (drawnBy === 'plan' ? drawnM3 : 0) // what was logged is done
  const values = { turnId: was.id, listedM3, volumeM3: now?.volumeM3 ?? 0 }
  const problems: TimetableProblem[] = []
  if (Math.abs(listedM3 - (now?.volumeM3 ?? 0)) > 1e-6) problems.push({ code: 'volume-not-accounted', values })
  if (stretch && (now?.endMinute !== stretch.endMinute || now.startMinute > stretch.startMinute))
    problems.push({ code: 'stretch-outside-turn', values })
  const { maxTurnMinutes = Infinity } = rulesOf(input)
  if (stretch && was.startMinute < input.fromMinute && stretch.endMinute - was.startMinute > longest(input, stretch))
    problems.push({ code: 'turn-above-longest', values: { ...values, minutes: maxTurnMinutes } })
  return problems
}

/** Minutes in which the pump stood still are no part of a running turn's length. */
function longest(input: ReshareInput, { startMinute }: { startMinute: number }): number {
  return (rulesOf(input).maxTurnMinutes ?? Infinity) + startMinute - input.fromMinute
}

/** What is counted as drawn: the log's own figure where it has one, and nothing before a turn began. */
function checkDrawn({ loggedM3 = {}, fromMinute }: ReshareInput, { was, drawnM3, drawnBy }: ResharedTurn) {
  const logged = loggedM3[was.id]
  const isTrue =
    logged !== undefined
      ? drawnBy === 'log' && Math.abs(drawnM3 - Math.min(logged, was.volumeM3)) < 0.001
      : drawnBy === (was.startMinute < fromMinute ? 'plan' : null) && drawnM3 >= 0 && drawnM3 <= was.volumeM3
  return isTrue && (drawnBy !== null || drawnM3 === 0)
    ? []
    : [{ code: 'drawn-untrue', values: { turnId: was.id, drawnM3 } }]
}

/** Nobody can be called to an hour that was over when the day changed in the book. */
function checkCall({ callableFromMinute = 0 }: ReshareInput, { was, stretch }: ResharedTurn): TimetableProblem[] {
  const isTooLate = stretch && stretch.startMinute < Math.min(was.startMinute, callableFromMinute)
  return isTooLate ? [{ code: 'called-too-late', values: { turnId: was.id, minute: stretch.startMinute } }] : []
}

/** After turns that have only just ended, the walk to the valve and the filling of the line still come first. */
function checkWalk(input: ReshareInput, turn: PlannedTurn, turns: readonly PlannedTurn[]): TimetableProblem[] {
  const { inputs, openIds, fromMinute, pumpId } = input
  const { changeoverMinutes } = rulesOf(input)
  const takenFrom = turn.startMinute - (inputs.turnFacts?.fillingMinutes[turn.outletId] ?? 0)
  const ended = input.turns.filter(
    (each) =>
      !openIds.has(each.id) &&
      each.startMinute < fromMinute &&
      Math.min(each.endMinute, fromMinute) + changeoverMinutes > takenFrom,
  )
  const values = { turnId: turn.id }
  if (ended.some(({ outletId }) => outletId === turn.outletId)) return [{ code: 'outlet-held-twice', values }]
  const open = turns.filter(
    (each) => each.startMinute <= turn.startMinute && takenFrom < each.endMinute + changeoverMinutes,
  )
  const atMost = inputs.pumps.find(({ id }) => id === pumpId)?.outletsAtOnce ?? 1
  return ended.length > 0 && ended.length + open.length > atMost ? [{ code: 'too-many-outlets-open', values }] : []
}
