import type { OutletsTogether, TimetableAllocation, TimetableInput } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import type { TurnFacts } from '../week/turn-facts.ts'

/**
 * The work of a week's hours with what is known of people and lines: hours that a holder cannot, places on the line (tail
 * before head), the list by which a pump's turns go, burdens carried so far, filling minutes, and outlets that must not meet.
 */
export function withTurnFacts({ turnFacts, outlets }: WeekInputs, input: TimetableInput): TimetableInput {
  if (!turnFacts) return input
  return {
    ...input,
    allocations: input.allocations.map((allocation) => ({
      ...allocation,
      canNot: turnFacts.noTurnHours
        .filter((hours) => hours.plotId === allocation.plotId)
        .map(({ on, fromHour, toHour }) => ({ on, fromHour, toHour })),
      ...wishedOf(turnFacts, allocation),
      linePosition: turnFacts.linePositions[allocation.plotId],
      ...listPlace(turnFacts, outlets, allocation),
    })),
    outlets: input.outlets.map((outlet) => ({ ...outlet, fillingMinutes: turnFacts.fillingMinutes[outlet.id] ?? 0 })),
    together: input.together?.map((each) => withPairs(each, outlets, turnFacts.notTogether)),
    history: turnFacts.burdens,
  }
}

function wishedOf(
  { wishedHours = [] }: TurnFacts,
  { plotId }: TimetableAllocation,
): Pick<TimetableAllocation, 'wished'> {
  const own = wishedHours.filter((hours) => hours.plotId === plotId)
  return own.length > 0 ? { wished: own.map(({ on, fromHour, toHour }) => ({ on, fromHour, toHour })) } : {}
}

/** A gravity turn waits for its tank, not for its name. */
function listPlace(
  { lists = [] }: TurnFacts,
  outlets: WeekInputs['outlets'],
  { plotId, outletId }: TimetableAllocation,
) {
  const outlet = outlets.find((one) => one.id === outletId)
  const place = lists.find((list) => list.pumpId === outlet?.pumpId)?.plotIds.indexOf(plotId) ?? -1
  return outlet?.tankId !== undefined || place < 0 ? {} : { listPlace: place }
}

/** All pairs of the pump's outlets but those that must not meet. */
function withPairs(
  together: OutletsTogether,
  outlets: WeekInputs['outlets'],
  notTogether: readonly [string, string][],
): OutletsTogether {
  const own = outlets.filter((outlet) => outlet.pumpId === together.pumpId).map((outlet) => outlet.id)
  const barred = notTogether.filter((pair) => pair.every((one) => own.includes(one)))
  if (barred.length === 0) return together
  const isBarred = (a: string, b: string) => barred.some((pair) => pair.includes(a) && pair.includes(b))
  const pairs = own.flatMap((a, at) => own.slice(at + 1).map((b): [string, string] => [a, b]))
  return { ...together, pairs: pairs.filter(([a, b]) => !isBarred(a, b)) }
}
