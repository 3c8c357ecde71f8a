import type { CalendarDate } from '../../../calendar.ts'
import type { Id } from '../../../id.ts'
import { type Litres, wholeLitresDown, wholeLitresUp } from '../../../units.ts'
import type { TimetableClosure, TimetableInput, TimetableTank } from '../types.ts'
import { pumpLitresByMinute } from './hours.ts'

/**
 * Hours at the end of each day that the direct turns would have to leave to the tanks, so that these are filled evenly through the
 * week: for each tank what its turns ask for beyond what stands in it, spread over the days of its pump, at most a full tank a day.
 */
export function reservedForTanks(input: TimetableInput): TimetableClosure[] {
  const litres = new Map<string, { pumpId: Id<'pump'>; on: CalendarDate; litres: Litres }>()
  for (const tank of input.tanks ?? []) {
    for (const { on, share } of sharesByDay(input, tank)) {
      const key = JSON.stringify([tank.pumpId, on])
      const before = litres.get(key)?.litres ?? 0
      litres.set(key, { pumpId: tank.pumpId, on, litres: before + share })
    }
  }
  return [...litres.values()].flatMap(({ pumpId, on, litres: share }) => {
    const fromMinute = lastHoursFor(input, { pumpId, on, litres: share })
    return fromMinute === null ? [] : [{ pumpId, on, fromHour: fromMinute / 60, toHour: 24 }]
  })
}

function sharesByDay(input: TimetableInput, tank: TimetableTank): { on: CalendarDate; share: number }[] {
  const fed = new Set(input.outlets.filter(({ tankId }) => tankId === tank.id).map(({ id }) => id))
  const asked = input.allocations.reduce(
    (sum, { outletId, volumeM3 }) => sum + (fed.has(outletId) ? wholeLitresDown(volumeM3) : 0),
    0,
  )
  const floor = wholeLitresUp(tank.floorM3)
  const missing = asked === 0 ? 0 : Math.max(0, asked + floor - wholeLitresDown(tank.startM3))
  const days = input.week.days.filter((on) => pumpLitresByMinute(input, tank.pumpId, on).some((each) => each > 0))
  const share = Math.min(Math.ceil(missing / Math.max(1, days.length)), wholeLitresDown(tank.capacityM3) - floor)
  return share > 0 ? days.map((on) => ({ on, share })) : []
}

/** The latest minute from which on the pump brings so many litres; null where the whole day does not. */
function lastHoursFor(
  input: TimetableInput,
  { pumpId, on, litres }: { pumpId: Id<'pump'>; on: CalendarDate; litres: Litres },
): number | null {
  const pump = pumpLitresByMinute(input, pumpId, on)
  let sum = 0
  for (let minute = pump.length - 1; minute >= 0; minute--) {
    sum += pump[minute]!
    if (sum >= litres) return minute
  }
  return null
}
