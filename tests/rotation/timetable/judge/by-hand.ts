import type { TimetableProblem } from '../../../../domain/rotation/timetable/check/problem.ts'
import type {
  PlannedTurn,
  TimetableAllocation,
  TimetableInput,
  TimetableOutlet,
  TimetableResult,
} from '../../../../domain/rotation/timetable/types.ts'

export const MONDAY = '2026-03-02'
export const TUESDAY = '2026-03-03'
const SUNDAY = '2026-03-08'

/** Hours of a day in which a pump gives 6 m3/h, 100 litres a minute. */
export const sixFrom = (fromHour: number, toHour: number) =>
  Array.from({ length: 24 }, (_, hour) => (hour >= fromHour && hour < toHour ? 6 : 0))

/** A week written by hand, without the scheduler: the pump gives 6 m3/h from 8 to 16, every outlet draws as much, and 2 m3 need 20 minutes. */
export interface ByHand {
  input: TimetableInput
  result: TimetableResult
  /** Writes a turn with the allocation that it serves; minutes after midnight. */
  turn(
    claimId: string,
    outletId: string,
    startMinute: number,
    minutes: number,
    more?: Partial<PlannedTurn>,
  ): PlannedTurn
  allocation(claimId: string): TimetableAllocation
  outlet(id: string): TimetableOutlet
}

export function byHand(): ByHand {
  const days = [MONDAY, TUESDAY, SUNDAY]
  const input: TimetableInput = {
    week: { startOn: MONDAY, days },
    allocations: [],
    pumps: ['pump', 'other'].map((id) => {
      return { id, flowM3PerHByDay: Object.fromEntries(days.map((day) => [day, sixFrom(8, 16)])) }
    }),
    outlets: [
      ...['head', 'middle', 'tail'].map((id) => ({ id, pumpId: 'pump', flowM3PerH: 6 })),
      { id: 'far', pumpId: 'other', flowM3PerH: 6 },
    ],
    unavailable: [],
    rules: { minTurnMinutes: 10, maxTurnMinutes: 120, changeoverMinutes: 5, gridMinutes: 1 },
  }
  const result: TimetableResult = { turns: [], unplacedM3: [], notes: [] }
  const outlet = (id: string) => input.outlets.find((one) => one.id === id)!
  const allocation = (claimId: string) => input.allocations.find((one) => one.claimId === claimId)!
  return {
    input,
    result,
    outlet,
    allocation,
    turn(claimId, outletId, startMinute, minutes, more = {}) {
      const { pumpId, flowM3PerH } = outlet(outletId)
      const on = more.on ?? MONDAY
      const volumeM3 = more.volumeM3 ?? (flowM3PerH * minutes) / 60
      const turn: PlannedTurn = {
        id: `${claimId} ${on} ${startMinute}`,
        claimId,
        plotId: `plot of ${claimId}`,
        outletId,
        pumpId,
        on,
        order: 1 + result.turns.filter((one) => one.pumpId === pumpId && one.on === on).length,
        startMinute,
        endMinute: startMinute + minutes,
        volumeM3,
        hours: minutes / 60,
        burdens: [],
        ...more,
      }
      result.turns.push(turn)
      const own = input.allocations.find((one) => one.claimId === claimId && one.outletId === outletId)
      if (own) own.volumeM3 += volumeM3
      else input.allocations.push({ claimId, plotId: turn.plotId, outletId, volumeM3 })
      return turn
    },
  }
}

/** What the judge says, but for what a turn says of its burdens and what the week says in notes: those have tests of their own. */
export function codesOf(problems: TimetableProblem[]): string[] {
  const codes = problems.map(({ code }) => code)
  return codes.filter((code) => code !== 'burdens-differ' && code !== 'note-untrue-or-missing').toSorted()
}
