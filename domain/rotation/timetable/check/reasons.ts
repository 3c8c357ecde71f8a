import type { CalendarDate } from '../../../calendar.ts'
import { sum } from '../../../sum.ts'
import { MINUTES_PER_DAY, wholeLitres } from '../../../units.ts'
import type { ClosedHours, TimetableAllocation, TimetableInput, TimetableResult, UnplacedReason } from '../types.ts'
import { lineFilledAt } from './filling.ts'
import type { TimetableProblem } from './problem.ts'

/** The reason given for unplaced water must be the one that holds: people are told it. */
export function checkReasons(input: TimetableInput, { unplacedM3 }: TimetableResult): TimetableProblem[] {
  return unplacedM3.flatMap(({ claimId, outletId, reason }) => {
    const claim = input.allocations.find((each) => each.claimId === claimId && each.outletId === outletId)
    const holds = claim && reasonFor(input, claim, reason)
    return holds && holds !== reason ? [{ code: 'reason-untrue', values: { claimId, outletId, reason, holds } }] : []
  })
}

function reasonFor(input: TimetableInput, claim: TimetableAllocation, said: UnplacedReason): UnplacedReason {
  if (input.outlets.find(({ id }) => id === claim.outletId)!.tankId !== undefined) return tankReason(input, claim, said)
  const days = input.week.days.map((day) => ({
    litres: litresByMinute(input, claim, day),
    open: openMinutes(input, claim, day),
  }))
  if (days.every(({ litres }) => litres.every((each) => each === 0))) return 'no-flow'
  const best = days.map(({ litres, open }) => bestTurnLitres(input, litres, open))
  if (best.every((litres) => litres === null)) return 'no-open-hours'
  const aloneLitres = sum(best, (litres) => Math.floor((litres ?? 0) + 1e-6))
  return aloneLitres < wholeLitres(claim.volumeM3) ? 'hours-too-few' : 'pump-full'
}

/** Whether the pump or the tank holds the rest is a question of degree; but a pump that nobody else draws from holds nobody. */
function tankReason(input: TimetableInput, claim: TimetableAllocation, said: UnplacedReason): UnplacedReason {
  const outlet = input.outlets.find(({ id }) => id === claim.outletId)!
  const tank = input.tanks!.find(({ id }) => id === outlet.tankId)!
  const flows = input.pumps.find(({ id }) => id === outlet.pumpId)!.flowM3PerHByDay
  const flowsOf = (day: CalendarDate) => flows[day] ?? Array(24).fill(0)
  const isPumpDry = input.week.days.every((day) => flowsOf(day).every((flow) => flow === 0))
  if (outlet.flowM3PerH === 0 || (isPumpDry && tank.startM3 <= tank.floorM3)) return 'no-flow'
  const litres = Array(MINUTES_PER_DAY).fill((outlet.flowM3PerH * 1000) / 60)
  const walk = input.rules.changeoverMinutes
  const best = input.week.days.map((day) => {
    const open = openMinutes(input, claim, day)
    const isFree = (minute: number) =>
      flowsOf(day).every((flow, hour) => flow === 0 || minute < hour * 60 - walk || minute >= hour * 60 + 60 + walk)
    const isOwn = (minute: number) =>
      (tank.gravityHours ?? [{ fromHour: 0, toHour: 24 }]).some(
        ({ fromHour, toHour }) => minute / 60 >= fromHour - 1e-9 && (minute + 1) / 60 <= toHour + 1e-9,
      )
    return bestTurnLitres(
      input,
      litres,
      open.map((is, minute) => is && isFree(minute) && isOwn(minute)),
    )
  })
  if (best.every((most) => most === null)) return 'no-open-hours'
  const alone = sum(best, (most) => Math.floor((most ?? 0) + 1e-6))
  if (alone < wholeLitres(claim.volumeM3)) return 'hours-too-few'
  const isShared = input.allocations.some(
    (other) =>
      other.volumeM3 > 0 &&
      input.outlets.some(
        ({ id, pumpId, tankId }) => id === other.outletId && pumpId === outlet.pumpId && tankId !== tank.id,
      ),
  )
  return said === 'pump-full' && isShared ? 'pump-full' : 'tank-full'
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
  const filled = lineFilledAt(input, claim.outletId, day)
  const filling = { fromHour: 0, toHour: filled / 60 }
  const closed = [...closures, filling, ...(claim.canNot ?? [])].filter(({ on }: ClosedHours) => (on ?? day) === day)
  return Array.from({ length: MINUTES_PER_DAY }, (_, minute) =>
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
  for (let start = 0; start < MINUTES_PER_DAY; start += rules.gridMinutes ?? 5) {
    stretchEnds = Math.max(stretchEnds, start)
    while (stretchEnds < MINUTES_PER_DAY && open[stretchEnds] && litres[stretchEnds]! > 0) stretchEnds++
    const end = Math.min(stretchEnds, start + (rules.maxTurnMinutes ?? MINUTES_PER_DAY))
    if (end - start >= rules.minTurnMinutes) best = Math.max(best ?? 0, givenUntil[end]! - givenUntil[start]!)
  }
  return best
}
