import type { CalendarDate } from '../../../calendar.ts'
import type { Id } from '../../../id.ts'
import { MINUTES_PER_DAY } from '../../../units.ts'
import type { TimetableInput, TimetableTank } from '../types.ts'

/**
 * The minutes of a day in which gravity turns may run, 1 or 0: outside the pump's hours and the walk before and after them,
 * within the tank's own hours where some are set, and not while the pump's turns or all turns are closed.
 */
export function gravityMinutes(
  { pumps, unavailable, rules }: Pick<TimetableInput, 'pumps' | 'unavailable' | 'rules'>,
  tank: Pick<TimetableTank, 'pumpId' | 'gravityHours'>,
  day: CalendarDate,
): Uint8Array {
  const open = new Uint8Array(MINUTES_PER_DAY)
  for (const { fromHour, toHour } of tank.gravityHours ?? [{ fromHour: 0, toHour: 24 }]) {
    open.fill(1, Math.ceil(fromHour * 60 - 1e-9), Math.floor(toHour * 60 + 1e-9))
  }
  const flow = pumps.find(({ id }) => id === tank.pumpId)?.flowM3PerHByDay[day] ?? []
  flow.forEach((flowM3PerH, hour) => {
    if (flowM3PerH > 0) {
      open.fill(0, Math.max(0, hour * 60 - rules.changeoverMinutes), hour * 60 + 60 + rules.changeoverMinutes)
    }
  })
  for (const closed of unavailable) {
    if (closed.outletId !== undefined || (closed.pumpId ?? tank.pumpId) !== tank.pumpId) continue
    if ((closed.on ?? day) === day) shut(open, closed)
  }
  return open
}

/** The pump's litres in each minute of a day, none while its turns are closed: then nobody stands at the valve. */
export function pumpLitresByMinute(
  { pumps, unavailable }: Pick<TimetableInput, 'pumps' | 'unavailable'>,
  pumpId: Id<'pump'>,
  day: CalendarDate,
): Float64Array {
  const flow = pumps.find(({ id }) => id === pumpId)?.flowM3PerHByDay[day] ?? []
  const litres = new Float64Array(MINUTES_PER_DAY)
  for (const [hour, m3PerH] of flow.entries()) litres.fill((m3PerH * 1000) / 60, hour * 60, hour * 60 + 60)
  for (const closed of unavailable) {
    if (closed.outletId !== undefined || (closed.pumpId ?? pumpId) !== pumpId) continue
    if ((closed.on ?? day) === day) shut(litres, closed)
  }
  return litres
}

function shut(
  minutes: Uint8Array | Float64Array,
  { fromHour = 0, toHour = 24 }: { fromHour?: number; toHour?: number },
) {
  minutes.fill(0, Math.floor(fromHour * 60 + 1e-9), Math.ceil(toHour * 60 - 1e-9))
}
