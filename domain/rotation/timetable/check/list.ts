import type { Id } from '../../../id.ts'
import type { ClosedHours, PlannedTurn, TimetableAllocation, TimetableInput } from '../types.ts'
import type { TimetableProblem } from './problem.ts'

/**
 * Where a pump goes by list, nobody's first turn of the week comes after that of a later name, unless the earlier one could
 * not have begun then: its holder or outlet was closed, or an outlet was open that it must not meet.
 */
export function checkListOrder(input: TimetableInput, turns: readonly PlannedTurn[]): TimetableProblem[] {
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
