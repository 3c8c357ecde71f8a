import { MINUTES_PER_DAY } from '../../../units.ts'
import type { ClosedHours, PlannedTurn, TimetableInput, TimetableResult } from '../types.ts'
import { checkPumpDays } from './day.ts'
import { checkFirstFilling } from './filling.ts'
import { checkListOrder } from './list.ts'
import type { TimetableProblem } from './problem.ts'
import { checkReasons } from './reasons.ts'
import { checkSums } from './sums.ts'
import { checkTanks, tankOf } from './tank.ts'
import { checkWords } from './words.ts'

/**
 * Judges a timetable, whoever made it, against the raw inputs: every rule is reckoned anew minute by minute and nothing
 * of the scheduler is used. An empty list means that every rule holds.
 */
export function checkTimetable({
  input,
  result,
}: {
  input: TimetableInput
  result: TimetableResult
}): TimetableProblem[] {
  const unknown = result.turns.flatMap((turn) => checkNames(input, turn))
  if (unknown.length > 0) return unknown // without its outlet, pump and day nothing else can be asked of a turn
  return [
    ...checkOnce(result.turns),
    ...result.turns.flatMap((turn) => [...checkTimes(input, turn), ...checkOpen(input, turn)]),
    ...checkPumpDays(input, result.turns),
    ...checkTanks(input, result),
    ...checkSums(input, result),
    ...checkReasons(input, result),
    ...checkWords(input, result),
    ...checkListOrder(input, result.turns),
    ...checkFirstFilling(input, result.turns),
  ]
}

function checkNames(input: TimetableInput, turn: PlannedTurn): TimetableProblem[] {
  const values = { turnId: turn.id }
  const claim = input.allocations.find((each) => each.claimId === turn.claimId && each.outletId === turn.outletId)
  const outlet = input.outlets.find(({ id }) => id === turn.outletId)
  if (!claim || !outlet) return [{ code: 'turn-without-allocation', values }]
  const problems: TimetableProblem[] = []
  if (claim.plotId !== turn.plotId) problems.push({ code: 'turn-for-another-plot', values })
  if (outlet.pumpId !== turn.pumpId) problems.push({ code: 'outlet-on-another-pump', values })
  if (!input.week.days.includes(turn.on)) problems.push({ code: 'day-outside-week', values })
  const minutes = [turn.startMinute, turn.endMinute]
  if (!minutes.every(Number.isInteger) || turn.startMinute < 0 || turn.endMinute > MINUTES_PER_DAY)
    problems.push({ code: 'not-minutes-of-the-day', values })
  return problems
}

/** A claim has at most one stretch a day at an outlet, and no two turns share an id. */
function checkOnce(turns: PlannedTurn[]): TimetableProblem[] {
  const seen = new Set<string>()
  return turns.flatMap(({ id, claimId, outletId, on }) => {
    const problems: TimetableProblem[] = []
    const stretch = JSON.stringify([claimId, outletId, on])
    if (seen.has(`id ${id}`)) problems.push({ code: 'turn-id-twice', values: { turnId: id } })
    if (seen.has(stretch)) problems.push({ code: 'turn-broken-within-day', values: { turnId: id, on } })
    seen.add(`id ${id}`).add(stretch)
    return problems
  })
}

function checkTimes({ rules }: TimetableInput, turn: PlannedTurn): TimetableProblem[] {
  const minutes = turn.endMinute - turn.startMinute
  const values = { turnId: turn.id, minutes }
  const problems: TimetableProblem[] = []
  if (turn.startMinute % (rules.gridMinutes ?? 5) !== 0) problems.push({ code: 'start-off-grid', values })
  if (minutes < rules.minTurnMinutes) problems.push({ code: 'turn-too-short', values })
  if (minutes > (rules.maxTurnMinutes ?? Infinity)) problems.push({ code: 'turn-above-longest', values })
  if (Math.abs(turn.hours * 60 - minutes) > 1e-6) problems.push({ code: 'hours-differ', values })
  return problems
}

function checkOpen(input: TimetableInput, turn: PlannedTurn): TimetableProblem[] {
  const claim = input.allocations.find((each) => each.claimId === turn.claimId && each.outletId === turn.outletId)!
  const flows = input.pumps.find(({ id }) => id === turn.pumpId)?.flowM3PerHByDay[turn.on] ?? []
  const dry = flows.flatMap((flow, hour) => (flow > 0 ? [] : [{ fromHour: hour, toHour: hour + 1 }]))
  const closed = input.unavailable.filter(
    ({ pumpId, outletId }) =>
      (pumpId === undefined || pumpId === turn.pumpId) && (outletId === undefined || outletId === turn.outletId),
  )
  const values = { turnId: turn.id }
  const problems: TimetableProblem[] = []
  const isDirect = tankOf(input, turn) === undefined
  if (isDirect && (flows.length === 0 || dry.some((hours) => meets(turn, hours))))
    problems.push({ code: 'pump-gives-nothing', values })
  if (closed.some((hours) => meets(turn, hours))) problems.push({ code: 'turn-while-closed', values })
  if (claim.canNot?.some((hours) => meets(turn, hours))) problems.push({ code: 'holder-cannot', values })
  return problems
}

function meets(turn: PlannedTurn, { on, fromHour, toHour }: ClosedHours): boolean {
  if (on !== undefined && on !== turn.on) return false
  const fromMinute = (fromHour ?? 0) * 60
  const toMinute = (toHour ?? 24) * 60
  return turn.startMinute < toMinute - 1e-6 && turn.endMinute > fromMinute + 1e-6
}
