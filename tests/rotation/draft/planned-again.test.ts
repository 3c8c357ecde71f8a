import { expect, it } from 'vitest'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import type { KnownParts } from '../../../domain/rotation/timetable/known.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { runs } from '../../support/runs.ts'
import { randomWeek } from '../share/random-week.ts'

/** The week after somebody asked for less, with other hours of the pumps, and with an hour in which a plot cannot. */
function changes(week: WeekInputs): WeekInputs[] {
  const [first, ...others] = week.claims
  const [day] = week.days as [string]
  const cloudy = week.pumps.map((pump) => ({
    ...pump,
    flowM3PerHByDay: { ...pump.flowM3PerHByDay, [day]: (pump.flowM3PerHByDay[day] ?? []).map((flow) => flow / 2) },
  }))
  return [
    { ...week, claims: [{ ...first!, requestedM3: 1 }, ...others] },
    { ...week, pumps: cloudy },
    { ...week, closures: [...week.closures, { on: day, pumpId: week.pumps[0]!.id, words: 'rest day' }] },
    week,
  ]
}

it('plans a week as if it had never planned another, whatever it remembers of those', () => {
  const known = new Map<string, KnownParts>()
  let laidAgain = 0
  const knownOf = (hours: string) => {
    const parts = known.get(hours) ?? new Map()
    if (parts.size > 0) laidAgain++
    known.set(hours, parts)
    return parts
  }
  for (let seed = 1; seed <= runs(6).numRuns; seed++)
    for (const week of changes(randomWeek(seed))) expect(planWeek(week, knownOf)).toEqual(planWeek(week))
  expect(laidAgain).toBeGreaterThan(5)
})
