import { allocate } from '../../domain/rotation/allocation/allocate.ts'
import { checkWeek } from '../../domain/rotation/draft/check.ts'
import { weekAllocationInput } from '../../domain/rotation/draft/limits.ts'
import { planWeek } from '../../domain/rotation/draft/plan.ts'
import type { WeekInputs } from '../../domain/rotation/week/inputs.ts'
import { HEAVY } from '../../server/reckoner/heavy.ts'
import { fastestMs, shown } from './measure.ts'
import { weekOfSize } from './weeks/week-of-size.ts'

const SIZES = [
  { plots: 60, weirs: 4, pumps: 3, runs: 9, goalMs: 150 },
  { plots: 1000, weirs: 20, pumps: 30, runs: 3, goalMs: 1000 },
]

/** Allocation and timetable of one week, which the judges then find no fault with. */
export async function run(): Promise<string[]> {
  return SIZES.map(({ runs, goalMs, ...size }) => {
    const inputs = weekOfSize(size)
    const planned = planWeek(inputs)
    const problems = checkWeek(inputs, planned)
    if (problems.length > 0) throw new Error(`the week does not stand: ${JSON.stringify(problems.slice(0, 3))}`)
    const wholeMs = fastestMs(runs, () => planWeek(inputs))
    let asked = 0
    HEAVY['plan of a week'](inputs)
    const againMs = fastestMs(runs, () => HEAVY['plan of a week'](withRequest(inputs, asked++)))
    const allocationInput = weekAllocationInput(inputs, { pumpM3: {}, claimM3: {} })
    const allocationMs = fastestMs(runs, () => allocate(allocationInput))
    const { plots, weirs, pumps } = size
    return `${plots} plots, ${weirs} weirs, ${pumps} pumps, ${planned.turns.length} turns: again after a request ${shown(againMs)} ms (goal: under ${goalMs} ms), anew ${shown(wholeMs)} ms, one allocation of it ${shown(allocationMs)} ms`
  })
}

/** The week after one more plot has asked for less than it would get, so that others get more. */
function withRequest(inputs: WeekInputs, at: number): WeekInputs {
  const claims = inputs.claims.map((claim, place) => (place === 10 * (at + 1) ? { ...claim, requestedM3: 2 } : claim))
  return { ...inputs, claims }
}
