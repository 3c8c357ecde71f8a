import { sum } from '../../sum.ts'
import type { PumpWeek, Row } from './pump-week.ts'
import type { UnplacedReason } from './types.ts'

/** Names why a row's water did not all fit, by asking what the row could have had with the pump to itself. */
export function unplacedReason(week: PumpWeek, row: Row): UnplacedReason {
  if (row.litresPerMinute === 0 || week.flow.every((day) => day.every((litres) => litres === 0))) return 'no-flow'
  const aloneLitres = week.days.map((_, day) => mostAloneLitres(week, row, day))
  if (row.nextStart.every((starts, day) => starts[0]! >= row.openUntil[day]!.length)) return 'no-open-hours'
  return sum(aloneLitres) < row.litres ? 'hours-too-few' : 'pump-full'
}

/** The most that one turn could bring on that day with no other turn beside it. */
function mostAloneLitres(week: PumpWeek, row: Row, day: number): number {
  const given = new Float64Array(week.flow[day]!.length + 1)
  week.flow[day]!.forEach((litres, minute) => {
    given[minute + 1] = given[minute]! + Math.min(litres, row.litresPerMinute)
  })
  const starts = row.nextStart[day]!
  const { maxTurnMinutes } = week.rules
  let most = 0
  for (let start = starts[0]!; start < week.flow[day]!.length; start = starts[start + 1]!) {
    const end = Math.min(row.openUntil[day]![start]!, start + maxTurnMinutes)
    most = Math.max(most, given[end]! - given[start]!)
  }
  return Math.floor(most + 1e-6)
}
