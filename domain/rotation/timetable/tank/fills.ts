import type { CalendarDate } from '../../../calendar.ts'
import type { Id } from '../../../id.ts'
import { sum } from '../../../sum.ts'
import { type Litres, type M3, MINUTES_PER_DAY, wholeLitres, wholeLitresDown, wholeLitresUp } from '../../../units.ts'
import type { PlannedTurn, TankFill, TimetableInput, TimetableTank } from '../types.ts'
import { pumpLitresByMinute } from './hours.ts'

export type TankWorks = Pick<TimetableInput, 'week' | 'pumps' | 'outlets' | 'tanks' | 'unavailable'>

interface TankCourse {
  fills: TankFill[]
  /** Gravity turns that would draw more than stands above the floor when they start. */
  shortTurnIds: Id<'turn'>[]
  /** What stands in each tank at the end of each day. */
  eveningM3: { tankId: Id<'tank'>; on: CalendarDate; volumeM3: M3 }[]
}

/** An unbroken stretch in which the pump leaves water for the tank. */
export interface Inflow {
  startMinute: number
  endMinute: number
  litres: Litres
}

/**
 * How the tanks fill and empty through the week. Each stretch of the pump's hours fills a tank with what the direct turns
 * leave, as early as it comes, up to what the gravity turns still to come need above the floor and never above what the tank
 * holds. Filling early is never worse: the tank stands at least as high at any later moment. The surplus of a pump with several
 * tanks goes to the tank with the lowest id first.
 */
export function tankCourse({ works, turns }: { works: TankWorks; turns: readonly PlannedTurn[] }): TankCourse {
  const course: TankCourse = { fills: [], shortTurnIds: [], eveningM3: [] }
  const surplus = new Map<string, Float64Array[]>()
  for (const tank of [...(works.tanks ?? [])].sort((a, b) => (a.id < b.id ? -1 : 1))) {
    if (!surplus.has(tank.pumpId)) surplus.set(tank.pumpId, surplusByDay(works, tank.pumpId, turns))
    runTank(works, tank, { turns, surplus: surplus.get(tank.pumpId)!, course })
  }
  return course
}

function runTank(
  { week, pumps, outlets, unavailable }: TankWorks,
  tank: TimetableTank,
  { turns, surplus, course }: { turns: readonly PlannedTurn[]; surplus: Float64Array[]; course: TankCourse },
): void {
  const own = new Set(outlets.filter(({ tankId }) => tankId === tank.id).map(({ id }) => id))
  const drawn = turns.filter(({ outletId }) => own.has(outletId))
  const floor = wholeLitresUp(tank.floorM3)
  let rest = sum(drawn, ({ volumeM3 }) => wholeLitres(volumeM3))
  let level = wholeLitresDown(tank.startM3)
  week.days.forEach((on, day) => {
    const inflows = inflowsOf(surplus[day]!, pumpLitresByMinute({ pumps, unavailable }, tank.pumpId, on))
    const events = [
      ...drawn.filter((turn) => turn.on === on).map((turn) => ({ at: turn.startMinute, turn, inflow: null })),
      ...inflows.map((inflow) => ({ at: inflow.startMinute, turn: null, inflow })),
    ].sort((a, b) => a.at - b.at)
    for (const { turn, inflow } of events) {
      if (turn) {
        const litres = wholeLitres(turn.volumeM3)
        if (level - litres < floor) course.shortTurnIds.push(turn.id)
        level -= litres
        rest -= litres
      } else {
        const wanted = rest > 0 ? Math.min(wholeLitresDown(tank.capacityM3), floor + rest) - level : 0
        const litres = Math.min(inflow.litres, wanted)
        if (litres <= 0) continue
        level += litres
        course.fills.push(fillOf(tank, { on, inflow, litres, surplus: surplus[day]! }))
      }
    }
    course.eveningM3.push({ tankId: tank.id, on, volumeM3: level / 1000 })
  })
}

/** Takes the litres from the surplus, minute by minute, and tells from when to when. */
function fillOf(
  { id, pumpId }: TimetableTank,
  { on, inflow, litres, surplus }: { on: CalendarDate; inflow: Inflow; litres: Litres; surplus: Float64Array },
): TankFill {
  let minute = inflow.startMinute
  for (let rest = litres; rest > 1e-6 && minute < inflow.endMinute; minute++) {
    const taken = Math.min(rest, surplus[minute]!)
    surplus[minute]! -= taken
    rest -= taken
  }
  return { tankId: id, pumpId, on, startMinute: inflow.startMinute, endMinute: minute, volumeM3: litres / 1000 }
}

/** What the direct turns leave of a pump's flow, by day and minute in litres; in the order of the list each takes its outlet's flow. */
export function surplusByDay(works: TankWorks, pumpId: Id<'pump'>, turns: readonly PlannedTurn[]): Float64Array[] {
  const perMinute = new Map(
    works.outlets
      .filter((outlet) => outlet.pumpId === pumpId && outlet.tankId === undefined)
      .map(({ id, flowM3PerH }) => [id, (flowM3PerH * 1000) / 60]),
  )
  return works.week.days.map((day) => {
    const litres = pumpLitresByMinute(works, pumpId, day)
    const direct = turns.filter(({ on, outletId }) => on === day && perMinute.has(outletId))
    for (const turn of [...direct].sort((a, b) => a.startMinute - b.startMinute || a.order - b.order)) {
      for (let minute = turn.startMinute; minute < turn.endMinute; minute++) {
        litres[minute]! -= Math.min(litres[minute]!, perMinute.get(turn.outletId)!)
      }
    }
    return litres
  })
}

/**
 * The stretches of a day in which something comes, in whole litres. Pauses in which the turns take all are part of a stretch,
 * as long as the pump runs: the inlet stays open.
 */
export function inflowsOf(surplus: Float64Array, pumpLitres: Float64Array): Inflow[] {
  const inflows: Inflow[] = []
  let [first, last, litres] = [-1, -1, 0]
  for (let minute = 0; minute <= MINUTES_PER_DAY; minute++) {
    const left = surplus[minute] ?? 0
    if (left > 1e-9) {
      if (first < 0) first = minute
      last = minute
      litres += left
    }
    if ((pumpLitres[minute] ?? 0) > 0) continue
    if (litres >= 1) inflows.push({ startMinute: first, endMinute: last + 1, litres: Math.floor(litres + 1e-6) })
    ;[first, last, litres] = [-1, -1, 0]
  }
  return inflows
}
