import type { CalendarDate } from '../../../calendar.ts'
import type { Id } from '../../../id.ts'
import { MINUTES_PER_DAY } from '../../../units.ts'
import type { PlannedTurn, TankFill, TimetableInput, TimetableResult, TimetableTank } from '../types.ts'
import type { TimetableProblem } from './problem.ts'

/** A thousandth of a litre: volumes are whole litres, only the sums of minutes carry rounding. */
const ROUNDING_M3 = 1e-6

/**
 * Lets each tank fill and empty minute by minute, from the raw inputs: what comes in is never above what the direct turns leave
 * of the pump's flow, the tank never runs over, and no gravity turn draws below the floor, beyond its outlet's flow or in
 * the pump's hours.
 */
export function checkTanks(input: TimetableInput, result: TimetableResult): TimetableProblem[] {
  const { fills = [], turns } = result
  const tanks = input.tanks ?? []
  const stray = fills.filter((fill) => !isKnown(input, fill))
  if (stray.length > 0) return stray.map(({ tankId, on }) => ({ code: 'fill-unknown', values: { tankId, on } }))
  const surplusM3 = new Map<string, number[][]>()
  return tanks
    .toSorted((a, b) => (a.id < b.id ? -1 : 1))
    .flatMap((tank) => {
      const left =
        surplusM3.get(tank.pumpId) ?? input.week.days.map((on) => leftByMinute(input, tank.pumpId, on, turns))
      surplusM3.set(tank.pumpId, left)
      return runWeek(input, tank, { left, turns: turns.filter((turn) => tankOf(input, turn) === tank.id), fills })
    })
}

/** The tank that a turn draws from; undefined for a turn straight from the pump. */
export function tankOf({ outlets }: TimetableInput, { outletId }: { outletId: Id<'outlet'> }): string | undefined {
  return outlets.find(({ id }) => id === outletId)?.tankId
}

function isKnown({ tanks = [], week }: TimetableInput, { tankId, pumpId, on, volumeM3, ...at }: TankFill): boolean {
  const litres = volumeM3 * 1000
  const isWhole = litres > 0.5 && Math.abs(litres - Math.round(litres)) < 1e-6
  const isTime =
    [at.startMinute, at.endMinute].every(Number.isInteger) && at.startMinute >= 0 && at.endMinute <= MINUTES_PER_DAY
  return (
    isWhole &&
    isTime &&
    week.days.includes(on) &&
    tanks.some(({ id, ...tank }) => id === tankId && tank.pumpId === pumpId)
  )
}

/** Of the pump's flow, in m3 a minute: nothing while its turns are closed, else what its own outlets do not take. */
function leftByMinute(input: TimetableInput, pumpId: Id<'pump'>, on: CalendarDate, turns: PlannedTurn[]): number[] {
  const flow = input.pumps.find(({ id }) => id === pumpId)?.flowM3PerHByDay[on] ?? []
  const closed = input.unavailable.filter(
    (each) =>
      [undefined, pumpId].includes(each.pumpId) && each.outletId === undefined && [undefined, on].includes(each.on),
  )
  const isClosed = (minute: number) =>
    closed.some(({ fromHour = 0, toHour = 24 }) => minute + 1 > fromHour * 60 + 1e-6 && minute < toHour * 60 - 1e-6)
  const left = Array.from({ length: MINUTES_PER_DAY }, (_, minute) =>
    isClosed(minute) ? 0 : (flow[Math.floor(minute / 60)] ?? 0) / 60,
  )
  const direct = turns.filter((turn) => turn.pumpId === pumpId && turn.on === on && tankOf(input, turn) === undefined)
  for (const { outletId, startMinute, endMinute } of direct.toSorted((a, b) => a.order - b.order)) {
    const outletM3 = input.outlets.find(({ id }) => id === outletId)!.flowM3PerH / 60
    for (let minute = startMinute; minute < endMinute; minute++) left[minute]! -= Math.min(outletM3, left[minute]!)
  }
  return left
}

interface TankWeek {
  left: number[][]
  turns: PlannedTurn[]
  fills: TankFill[]
}

function runWeek(input: TimetableInput, tank: TimetableTank, { left, turns, fills }: TankWeek): TimetableProblem[] {
  const problems = new Map<string, TimetableProblem>()
  const say = (code: string, values: TimetableProblem['values']) =>
    problems.set(code + JSON.stringify(values), { code, values })
  let standsM3 = Math.floor(tank.startM3 * 1000 + 1e-6) / 1000 // part of a litre is counted on by nobody
  input.week.days.forEach((on, day) => {
    const comes = fills
      .filter((fill) => fill.tankId === tank.id && fill.on === on)
      .map((fill) => ({ fill, rest: fill.volumeM3 }))
    const goes = turns.filter((turn) => turn.on === on).map((turn) => ({ turn, rest: turn.volumeM3 }))
    for (let minute = 0; minute < MINUTES_PER_DAY; minute++) {
      for (const one of comes) {
        if (minute < one.fill.startMinute || minute >= one.fill.endMinute) continue
        const inM3 = Math.min(one.rest, left[day]![minute]!)
        one.rest -= inM3
        left[day]![minute]! -= inM3
        standsM3 += inM3
        if (standsM3 > tank.capacityM3 + ROUNDING_M3) say('tank-above-capacity', { tankId: tank.id, on })
      }
      for (const one of goes) {
        if (minute < one.turn.startMinute || minute >= one.turn.endMinute) continue
        const outM3 = Math.min(one.rest, outletM3PerMinute(input, one.turn))
        one.rest -= outM3
        standsM3 -= outM3
        if (outM3 > 0 && standsM3 < tank.floorM3 - ROUNDING_M3) say('tank-below-floor', { turnId: one.turn.id })
      }
    }
    for (const { fill, rest } of comes) if (rest > ROUNDING_M3) say('fill-beyond-surplus', { tankId: fill.tankId, on })
    for (const { turn, rest } of goes)
      if (rest > ROUNDING_M3) say('volume-beyond-flow', { turnId: turn.id, restM3: rest })
    for (const { turn } of goes)
      if (isNeedlesslyLong(input, turn)) say('turn-longer-than-its-water', { turnId: turn.id })
  })
  return [...problems.values(), ...turns.flatMap((turn) => checkHours(input, tank, turn))]
}

function isNeedlesslyLong(input: TimetableInput, turn: PlannedTurn): boolean {
  const minutes = turn.endMinute - turn.startMinute
  const isShortest = minutes <= input.rules.minTurnMinutes
  return !isShortest && outletM3PerMinute(input, turn) * (minutes - 1) >= turn.volumeM3 + 0.001
}

/** Outside the pump's hours with the walk before and after them, and within the tank's own. */
function checkHours(input: TimetableInput, tank: TimetableTank, turn: PlannedTurn): TimetableProblem[] {
  const { changeoverMinutes } = input.rules
  const flow = input.pumps.find(({ id }) => id === tank.pumpId)?.flowM3PerHByDay[turn.on] ?? []
  const meetsPump = flow.some(
    (flowM3PerH, hour) =>
      flowM3PerH > 0 &&
      turn.startMinute < hour * 60 + 60 + changeoverMinutes &&
      turn.endMinute > hour * 60 - changeoverMinutes,
  )
  const own = tank.gravityHours ?? [{ fromHour: 0, toHour: 24 }]
  const isOwn = (minute: number) =>
    own.some(({ fromHour, toHour }) => minute >= fromHour * 60 - 1e-6 && minute + 1 <= toHour * 60 + 1e-6)
  const minutes = Array.from({ length: turn.endMinute - turn.startMinute }, (_, at) => turn.startMinute + at)
  const values = { turnId: turn.id }
  return [
    ...(meetsPump ? [{ code: 'gravity-in-pump-hours', values }] : []),
    ...(minutes.every(isOwn) ? [] : [{ code: 'outside-gravity-hours', values }]),
  ]
}

function outletM3PerMinute({ outlets }: TimetableInput, { outletId }: PlannedTurn): number {
  return outlets.find(({ id }) => id === outletId)!.flowM3PerH / 60
}
