import { beforeAll, expect, it } from 'vitest'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { afterChanges } from '../../../server/rotation/day/flow.ts'
import { standingWeek } from '../../../server/rotation/outcome/standing-week.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

let valley: Awaited<ReturnType<typeof openValley>>
let inputs: WeekInputs
beforeAll(async () => {
  valley = await openValley()
  inputs = (await standingWeek(valley.db, '2026-11-23'))!.inputs
})

/** The hours of the day in which a pump gives less than was planned, of those in which it gives at all. */
async function lessIn(change: { kind: 'down' | 'dull'; fromMinute: number; untilMinute: number | null }) {
  const { id: pumpId, flowM3PerHByDay } = inputs.pumps[0]!
  const group = (await currentGroup(valley.db))!
  const changes = [{ ...change, on: VALLEY_TODAY, pumpId, given: null }]
  const after = await afterChanges(valley.db, { group, inputs, changes })
  const flow = after.pumps.find(({ id }) => id === pumpId)!.flowM3PerHByDay[VALLEY_TODAY]!
  expect(after.pumps.slice(1)).toEqual(inputs.pumps.slice(1))
  return flowM3PerHByDay[VALLEY_TODAY]!.flatMap((planned, hour) => (flow[hour]! < planned ? hour : []))
}

it.each([
  ['of which it is in the middle, to that in which it ends', 11 * 60 + 30, 13 * 60 + 1, [11, 12, 13]],
  ['that begins with it, and not the hour at whose beginning it runs again', 11 * 60, 13 * 60, [11, 12]],
  ['after it, where it begins with the last minute of one', 11 * 60 + 59, 12 * 60 + 30, [11, 12]],
])('a pump that stands still gives nothing in the hour %s', async (_which, fromMinute, untilMinute, hours) => {
  expect(await lessIn({ kind: 'down', fromMinute, untilMinute })).toEqual(hours)
})

it('one that stands still for the rest of the day, and a worse sky, last to its end', async () => {
  const planned = inputs.pumps[0]!.flowM3PerHByDay[VALLEY_TODAY]!
  const left = planned.flatMap((flow, hour) => (flow > 0 && hour >= 14 ? hour : []))
  expect(left.length).toBeGreaterThan(1)
  expect(await lessIn({ kind: 'down', fromMinute: 14 * 60, untilMinute: null })).toEqual(left)
  expect(await lessIn({ kind: 'dull', fromMinute: 14 * 60, untilMinute: null })).toEqual(left)
})
