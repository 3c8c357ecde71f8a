import type { CalendarDate } from '../calendar.ts'
import type { TimetableProblem } from './check-timetable.ts'
import type { TimetableAllocation, TimetableInput, TimetableResult, UnplacedReason } from './timetable-types.ts'

/** The reason given for unplaced water must be the one that holds: people are told it. */
export function checkReasons(input: TimetableInput, { unplacedM3 }: TimetableResult): TimetableProblem[] {
  return unplacedM3.flatMap(({ claimId, outletId, reason }) => {
    const claim = input.allocations.find((each) => each.claimId === claimId && each.outletId === outletId)
    const holds = claim && reasonFor(input, claim)
    return holds && holds !== reason ? [{ code: 'reason-untrue', values: { claimId, outletId, reason, holds } }] : []
  })
}

function reasonFor(input: TimetableInput, claim: TimetableAllocation): UnplacedReason {
  const days = input.week.days.map((day) => ({
    litres: litresByMinute(input, claim, day),
    open: openMinutes(input, claim, day),
  }))
  if (days.every(({ litres }) => litres.every((each) => each === 0))) return 'no-flow'
  const best = days.map(({ litres, open }) => bestTurnLitres(input, litres, open))
  if (best.every((litres) => litres === null)) return 'no-open-hours'
  const aloneLitres = best.reduce<number>((sum, litres) => sum + Math.floor((litres ?? 0) + 1e-6), 0)
  return aloneLitres < Math.round(claim.volumeM3 * 1000) ? 'hours-too-few' : 'pump-full'
}

function litresByMinute(input: TimetableInput, { outletId }: TimetableAllocation, day: CalendarDate): number[] {
  const outlet = input.outlets.find(({ id }) => id === outletId)!
  const flows = input.pumps.find(({ id }) => id === outlet.pumpId)!.flowM3PerHByDay[day] ?? Array(24).fill(0)
  return flows.flatMap((flow) => Array(60).fill((Math.min(flow, outlet.flowM3PerH) * 1000) / 60))
}

function openMinutes(input: TimetableInput, claim: TimetableAllocation, day: CalendarDate): boolean[] {
  const { pumpId } = input.outlets.find(({ id }) => id === claim.outletId)!
  const closures = input.unavailable.filter(
    (each) => [undefined, pumpId].includes(each.pumpId) && [undefined, claim.outletId].includes(each.outletId),
  )
  const closed = [...closures, ...(claim.canNot ?? [])].filter(({ on }) => on === undefined || on === day)
  return Array.from({ length: 1440 }, (_, minute) =>
    closed.every(
      ({ fromHour = 0, toHour = 24 }) => (minute + 1) / 60 <= fromHour + 1e-9 || minute / 60 >= toHour - 1e-9,
    ),
  )
}

/** The most that one unbroken turn may bring, had the pump nobody else; null where not even the shortest turn fits. */
function bestTurnLitres({ rules }: TimetableInput, litres: number[], open: boolean[]): number | null {
  let best: number | null = null
  let stretchEnds = 0
  const givenUntil = [0]
  for (const [minute, each] of litres.entries()) givenUntil.push(givenUntil[minute]! + each)
  for (let start = 0; start < 1440; start += rules.gridMinutes ?? 5) {
    stretchEnds = Math.max(stretchEnds, start)
    while (stretchEnds < 1440 && open[stretchEnds] && litres[stretchEnds]! > 0) stretchEnds++
    const end = Math.min(stretchEnds, start + (rules.maxTurnMinutes ?? 1440))
    if (end - start >= rules.minTurnMinutes) best = Math.max(best ?? 0, givenUntil[end]! - givenUntil[start]!)
  }
  return best
}
