import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { wholeLitresDown, wholeLitresUp } from '../../units.ts'
import type { TankWeek } from '../allocation/types.ts'
import { inflowsOf, type TankWorks, tankCourse } from '../timetable/tank/fills.ts'
import { gravityMinutes, pumpLitresByMinute } from '../timetable/tank/hours.ts'
import type { PlannedTurn, TankFill, TimetableRules, TimetableTank } from '../timetable/types.ts'
import type { WeekClosure, WeekInputs, WeekOutlet, WeekTank } from '../week/inputs.ts'

/** The tanks as the timetable takes them; weeks without one keep the shape that they always had. */
export function timetableTanks({ tanks }: Pick<WeekInputs, 'tanks'>): { tanks?: TimetableTank[] } {
  if (!tanks?.length) return {}
  return {
    tanks: tanks.map(({ id, pumpId, capacityM3, floorM3, startM3, gravityHours }) => ({
      id,
      pumpId,
      capacityM3,
      floorM3,
      startM3,
      ...(gravityHours ? { gravityHours } : {}),
    })),
  }
}

/** Days, pumps, outlets, tanks and closures of a week, as the course of its tanks needs them. */
export function tankWorksOf(inputs: WeekInputs): TankWorks {
  return {
    week: { startOn: inputs.weekStartOn, days: inputs.days },
    pumps: inputs.pumps.map(({ id, flowM3PerHByDay }) => ({
      id,
      flowM3PerHByDay: flowLeft(inputs, id, flowM3PerHByDay),
    })),
    outlets: inputs.outlets.map(({ id, pumpId, flowM3PerH, tankId }) => ({
      id,
      pumpId,
      flowM3PerH,
      ...(tankId ? { tankId } : {}),
    })),
    unavailable: inputs.closures
      .filter((closure) => !leavesGravity(inputs, closure))
      .map(({ on, pumpId, outletId }) => ({
        on,
        ...(pumpId === null ? {} : { pumpId }),
        ...(outletId === undefined ? {} : { outletId }),
      })),
    ...timetableTanks(inputs),
  }
}

/** A broken pump lifts nothing and fills no tank; what stands in its tanks still runs out by gravity. */
export function leavesGravity({ tanks = [] }: WeekInputs, { fault, pumpId, outletId }: WeekClosure): boolean {
  return fault !== undefined && outletId === undefined && tanks.some((tank) => tank.pumpId === pumpId)
}

function flowLeft(inputs: WeekInputs, pumpId: Id<'pump'>, flow: Record<string, number[]>): Record<string, number[]> {
  const broken = inputs.closures.filter((closure) => closure.pumpId === pumpId && leavesGravity(inputs, closure))
  return broken.length === 0 ? flow : { ...flow, ...Object.fromEntries(broken.map(({ on }) => [on, NO_FLOW])) }
}

const NO_FLOW: number[] = Array(24).fill(0)

/** How the tanks are filled for the turns of a week as they stand; nothing for a week without tanks. */
export function weekFills(inputs: WeekInputs, turns: readonly PlannedTurn[]): { fills?: TankFill[] } {
  return inputs.tanks?.length ? { fills: tankCourse({ works: tankWorksOf(inputs), turns }).fills } : {}
}

/**
 * The most that a tank can turn over in the week: what stands in it above its floor, and on each day what the whole pump could
 * bring in each stretch of its hours, at most a full tank. Source: continuity of the tank.
 */
export function tankTurnover(inputs: WeekInputs, tank: WeekTank): TankWeek {
  const works = tankWorksOf(inputs)
  const room = Math.max(0, wholeLitresDown(tank.capacityM3) - wholeLitresUp(tank.floorM3))
  const fills = inputs.days.flatMap((day) => {
    const litres = pumpLitresByMinute(works, tank.pumpId, day)
    return inflowsOf(litres, litres).map((inflow) => Math.min(room, inflow.litres))
  })
  const stands = Math.max(0, wholeLitresDown(tank.startM3) - wholeLitresUp(tank.floorM3))
  return { id: tank.id, pumpId: tank.pumpId, weekM3: fills.reduce((sum, each) => sum + each, stands) / 1000 }
}

/** What stands above the marks of a pump's tanks when the week begins. */
export function standingM3({ tanks = [] }: Pick<WeekInputs, 'tanks'>, pumpId: Id<'pump'>): number {
  const own = tanks.filter((tank) => tank.pumpId === pumpId)
  return sum(own, ({ startM3, floorM3 }) => Math.max(0, startM3 - floorM3))
}

/** What an outlet fed by gravity carries in all its hours of some days. */
export function gravityOutletM3(
  inputs: WeekInputs,
  outlet: WeekOutlet,
  { days, rules }: { days: readonly CalendarDate[]; rules: TimetableRules },
): number {
  const tank = timetableTanks(inputs).tanks?.find(({ id }) => id === outlet.tankId)
  if (!tank) return 0
  const works = { ...tankWorksOf(inputs), rules }
  const minutes = sum(days, (day) => sum(gravityMinutes(works, tank, day)))
  return (minutes / 60) * outlet.flowM3PerH
}
