import { MINUTES_PER_DAY } from '../../../units.ts'
import type { PlannedTurn, TimetableInput } from '../types.ts'
import type { TimetableProblem } from './problem.ts'
import { tankOf } from './tank.ts'

/** A thousandth of a litre: volumes are whole litres, only the sums of minutes carry rounding. */
const ROUNDING_M3 = 1e-6

/** What the turns of one pump, or of one tank, may not do to each other on a day, and whether the pump carries its own. */
export function checkPumpDays(input: TimetableInput, turns: PlannedTurn[]): TimetableProblem[] {
  const days = new Map<string, PlannedTurn[]>()
  for (const turn of turns) {
    const key = JSON.stringify([turn.pumpId, turn.on])
    days.set(key, [...(days.get(key) ?? []), turn])
  }
  return [...days.values()].flatMap((list) => {
    const inOrder = list.toSorted((a, b) => a.order - b.order)
    const sources = new Set(inOrder.map((turn) => tankOf(input, turn)))
    const problems = [...sources].flatMap((source) => {
      const own = inOrder.filter((turn) => tankOf(input, turn) === source)
      const carried = source === undefined ? checkVolumes(input, own) : []
      return [...checkMeetings(input, own), ...checkOpenAtOnce(input, own), ...carried]
    })
    return [...checkOrder(inOrder), ...problems]
  })
}

function checkOrder(turns: PlannedTurn[]): TimetableProblem[] {
  return turns.flatMap((turn, index) =>
    turn.order === index + 1 && turn.startMinute >= (turns[index - 1]?.startMinute ?? 0)
      ? []
      : [{ code: 'order-broken', values: { turnId: turn.id, order: turn.order } }],
  )
}

/** Two turns may overlap only at two outlets that may be open together; one outlet needs its changeover. */
function checkMeetings(input: TimetableInput, turns: PlannedTurn[]): TimetableProblem[] {
  const { rules, together } = input
  const problems: TimetableProblem[] = []
  for (const [index, a] of turns.entries())
    for (const b of turns.slice(index + 1)) {
      const values = { turnId: a.id, otherTurnId: b.id }
      if (a.outletId === b.outletId) {
        const gapMinutes = rules.changeoverMinutes + fillingMinutes(input, a)
        if (overlap(a, b, gapMinutes)) problems.push({ code: 'outlet-held-twice', values })
        continue
      }
      const pairs = together?.find(({ pumpId }) => pumpId === a.pumpId)?.pairs
      const paired = pairs?.some((pair) => pair.includes(a.outletId) && pair.includes(b.outletId)) ?? true
      if (!paired && overlap(a, b, 0)) problems.push({ code: 'outlets-not-together', values })
    }
  return problems
}

function overlap(a: PlannedTurn, b: PlannedTurn, gapMinutes: number): boolean {
  return a.startMinute < b.endMinute + gapMinutes && b.startMinute < a.endMinute + gapMinutes
}

/** A line is taken from the filling before a turn to the end of its changeover. */
function checkOpenAtOnce(input: TimetableInput, turns: PlannedTurn[]): TimetableProblem[] {
  const { rules, together } = input
  const takenFrom = (turn: PlannedTurn) => turn.startMinute - fillingMinutes(input, turn)
  return turns.flatMap((turn) => {
    const atMost = together?.find(({ pumpId }) => pumpId === turn.pumpId)?.atMost ?? 1
    const open = turns.filter(
      (other) => takenFrom(other) <= takenFrom(turn) && takenFrom(turn) < other.endMinute + rules.changeoverMinutes,
    )
    return open.length > atMost
      ? [{ code: 'too-many-outlets-open', values: { turnId: turn.id, open: open.length, atMost } }]
      : []
  })
}

function fillingMinutes({ outlets }: TimetableInput, { outletId }: PlannedTurn): number {
  return outlets.find(({ id }) => id === outletId)?.fillingMinutes ?? 0
}

/** Lets the day run minute by minute: in order of the list each takes its outlet's flow or what is left. */
function checkVolumes(input: TimetableInput, turns: PlannedTurn[]): TimetableProblem[] {
  const { pumpId, on } = turns[0]!
  const pumpM3PerH = input.pumps.find(({ id }) => id === pumpId)!.flowM3PerHByDay[on] ?? []
  const leftM3 = Array.from({ length: MINUTES_PER_DAY }, (_, minute) => (pumpM3PerH[Math.floor(minute / 60)] ?? 0) / 60)
  return turns.flatMap((turn) => {
    const outletM3 = input.outlets.find(({ id }) => id === turn.outletId)!.flowM3PerH / 60
    let carriedM3 = 0
    let beforeLastMinuteM3 = 0
    for (let minute = turn.startMinute; minute < turn.endMinute; minute++) {
      const drawnM3 = Math.min(outletM3, leftM3[minute]!)
      leftM3[minute]! -= drawnM3
      beforeLastMinuteM3 = carriedM3
      carriedM3 += drawnM3
    }
    const values = { turnId: turn.id, volumeM3: turn.volumeM3, carriedM3 }
    if (turn.volumeM3 > carriedM3 + ROUNDING_M3) return [{ code: 'volume-beyond-flow', values }]
    const isShortest = turn.endMinute - turn.startMinute <= input.rules.minTurnMinutes
    const hasNeedlessMinute = beforeLastMinuteM3 >= turn.volumeM3 + 0.001
    return hasNeedlessMinute && !isShortest ? [{ code: 'turn-longer-than-its-water', values }] : []
  })
}
