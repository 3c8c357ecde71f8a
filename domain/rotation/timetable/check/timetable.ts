import type { Id } from '../../../id.ts'
import { sum } from '../../../sum.ts'
import { MINUTES_PER_DAY, wholeLitres } from '../../../units.ts'
import type { ClosedHours, PlannedTurn, TimetableAllocation, TimetableInput, TimetableResult } from '../types.ts'
import { checkPumpDays } from './day.ts'
import { checkFirstFilling } from './filling.ts'
import type { TimetableProblem } from './problem.ts'
import { checkReasons } from './reasons.ts'
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

/**
 * Where a pump goes by list, nobody's first turn of the week comes after that of a later name, unless the earlier one could
 * not have begun then: its holder or outlet was closed, or an outlet was open that it must not meet.
 */
function checkListOrder(input: TimetableInput, turns: readonly PlannedTurn[]): TimetableProblem[] {
  const places = new Map(input.allocations.map((each) => [keyOf(each), each]))
  const first = new Map<string, PlannedTurn>()
  for (const turn of turns.toSorted(byTime)) if (!first.has(keyOf(turn))) first.set(keyOf(turn), turn)
  const named = [...first.values()].flatMap((turn) => {
    const allocation = places.get(keyOf(turn))!
    return allocation.listPlace === undefined ? [] : [{ turn, allocation, place: allocation.listPlace }]
  })
  return named.flatMap(({ turn, allocation, place }) =>
    named
      .filter((other) => other.turn.pumpId === turn.pumpId && other.place > place && byTime(other.turn, turn) < 0)
      .filter(({ turn: sooner }) => couldBegin(input, allocation, sooner, turns))
      .map((other) => ({ code: 'list-order-broken', values: { turnId: turn.id, otherTurnId: other.turn.id } })),
  )
}

function couldBegin(
  input: TimetableInput,
  allocation: TimetableAllocation,
  sooner: PlannedTurn,
  turns: readonly PlannedTurn[],
): boolean {
  const from = sooner.startMinute
  const until = from + input.rules.minTurnMinutes
  const meets = ({ on, fromHour = 0, toHour = 24 }: ClosedHours) =>
    (on === undefined || on === sooner.on) && from < toHour * 60 - 1e-6 && until > fromHour * 60 + 1e-6
  const closed = input.unavailable.filter((each) => each.outletId === allocation.outletId)
  if ([...closed, ...(allocation.canNot ?? [])].some(meets)) return false
  const filling = (id: string) => input.outlets.find((outlet) => outlet.id === id)?.fillingMinutes ?? 0
  if (filling(allocation.outletId) > filling(sooner.outletId)) return false // its own line would not have been full yet
  const pairs = input.together?.find(({ pumpId }) => pumpId === sooner.pumpId)?.pairs
  const mayMeet = (id: string) => pairs?.some((pair) => pair.includes(id) && pair.includes(allocation.outletId)) ?? true
  const gap = input.rules.changeoverMinutes + filling(allocation.outletId)
  return !turns.some((turn) => {
    if (turn === sooner || turn.on !== sooner.on || turn.pumpId !== sooner.pumpId || turn.startMinute > from)
      return false
    if (turn.outletId === allocation.outletId) return from < turn.endMinute + gap
    return !mayMeet(turn.outletId) && from < turn.endMinute
  })
}

function keyOf({ claimId, outletId }: { claimId: string; outletId: Id<'outlet'> }): string {
  return JSON.stringify([claimId, outletId])
}

function byTime(a: PlannedTurn, b: PlannedTurn): number {
  return a.on < b.on ? -1 : a.on > b.on ? 1 : a.startMinute - b.startMinute || a.order - b.order
}

/** Every allocation must be found again, to the litre, in its turns and its unplaced water. */
function checkSums(input: TimetableInput, result: TimetableResult): TimetableProblem[] {
  return [
    ...checkLitres(result),
    ...checkUnplacedNames(input, result),
    ...input.allocations.flatMap((allocation) => checkSum(allocation, result)),
  ]
}

function checkLitres({ turns, unplacedM3 }: TimetableResult): TimetableProblem[] {
  return [...turns, ...unplacedM3].flatMap(({ claimId, volumeM3 }) => {
    const litres = volumeM3 * 1000
    const isWhole = litres > 0.5 && Math.abs(litres - Math.round(litres)) < 1e-6
    return isWhole ? [] : [{ code: 'not-whole-litres', values: { claimId, volumeM3 } }]
  })
}

function checkUnplacedNames({ allocations }: TimetableInput, { unplacedM3 }: TimetableResult): TimetableProblem[] {
  return unplacedM3.flatMap(({ claimId, outletId, reason }, index) => {
    const isSame = (other: { claimId: string; outletId: Id<'outlet'> }) =>
      other.claimId === claimId && other.outletId === outletId
    const problems: TimetableProblem[] = []
    if (!allocations.some(isSame)) problems.push({ code: 'unplaced-without-allocation', values: { claimId, outletId } })
    if (unplacedM3.findIndex(isSame) !== index) problems.push({ code: 'unplaced-twice', values: { claimId, outletId } })
    if (!reason) problems.push({ code: 'unplaced-without-reason', values: { claimId, outletId } })
    return problems
  })
}

function checkSum({ claimId, outletId, volumeM3 }: TimetableAllocation, result: TimetableResult): TimetableProblem[] {
  const parts = [...result.turns, ...result.unplacedM3].filter(
    (part) => part.claimId === claimId && part.outletId === outletId,
  )
  const foundLitres = sum(parts, (part) => wholeLitres(part.volumeM3))
  return foundLitres === wholeLitres(volumeM3)
    ? []
    : [{ code: 'volume-not-accounted', values: { claimId, outletId, volumeM3, foundM3: foundLitres / 1000 } }]
}
