import { datesFromTo } from '../../../domain/calendar.ts'
import { seededRandom } from '../../../domain/random.ts'
import type { TimetableAllocation, TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import { CLEAR_DAY } from '../../rotation/timetable/examples.ts'

/** Turns start on half hours and need no walk, so that an exact programme can count in slots as well. */
export const SLOT_MINUTES = 30

/** A small week in which most plots wish for a morning or an afternoon of some day: one pump, three days, six plots. */
export function wishedWeek(seed: number): TimetableInput {
  const random = seededRandom(seed + 1)
  const pick = <T>(values: T[]): T => values[Math.floor(random() * values.length)]!
  const days = datesFromTo('2026-03-02', '2026-03-04')
  const flow = () => CLEAR_DAY.map((m3PerH) => Math.round(m3PerH * (0.6 + random()) * 1000) / 1000)
  const flowM3PerHByDay = Object.fromEntries(days.map((day) => [day, flow()]))
  const weekM3 = Object.values(flowM3PerHByDay)
    .flat()
    .reduce((a, b) => a + b)
  const outlets = [1, 2, 3].map((at) => ({ id: `o${at}`, pumpId: 'pump', flowM3PerH: 2 + 2 * random() }))
  const load = 0.45 + 0.45 * random()
  return {
    week: { startOn: days[0]!, days },
    pumps: [{ id: 'pump', flowM3PerHByDay }],
    outlets,
    allocations: Array.from({ length: 6 }, (_, at): TimetableAllocation => {
      const volumeM3 = Math.round(((load * weekM3) / 6) * (0.5 + random()) * 1000) / 1000
      const half = pick([
        { fromHour: 7, toHour: 12 },
        { fromHour: 12, toHour: 17 },
      ])
      const wished = random() < 0.8 ? { wished: [{ on: pick(days), ...half }] } : {}
      return { claimId: `c${at}`, plotId: `p${at}`, outletId: pick(outlets).id, volumeM3, ...wished }
    }),
    unavailable: [],
    rules: { minTurnMinutes: SLOT_MINUTES, changeoverMinutes: 0, gridMinutes: SLOT_MINUTES },
  }
}
