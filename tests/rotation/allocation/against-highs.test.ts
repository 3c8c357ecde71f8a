import { beforeAll, describe, expect, it } from 'vitest'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import { runs } from '../../support/runs.ts'
import { allocateByProgrammes, openSolver, type Solver } from './by-programmes.ts'
import { exactM3 } from './exact.ts'
import { randomNetwork } from './networks.ts'

/** Three hundred networks in the test line; `npm run bench:properties` compares a hundred times as many. */
const BATCHES = runs(6).numRuns

// Source: the general-purpose solver HiGHS (npm package `highs`), run on the linear programmes of the definition.
describe('the allocation agrees with a sequence of linear programmes solved by HiGHS', () => {
  let highs: Solver
  beforeAll(async () => {
    highs = await openSolver()
  })

  it.each(Array.from({ length: BATCHES }, (_, batch) => batch))('on fifty random networks, batch %i', (batch) => {
    for (let seed = 1 + batch * 50; seed <= (batch + 1) * 50; seed++) {
      const input = randomNetwork(seed)
      const ours = exactM3(input)
      const theirs = allocateByProgrammes(highs, input)
      const volumeM3 = Math.max(
        1,
        Object.values(theirs).reduce((sum, amount) => sum + amount, 0),
      )
      for (const { id } of input.claims) {
        const gap = Math.abs(ours[id]! - theirs[id]!)
        expect(gap, `network ${seed}, claim ${id}: ${ours[id]} against ${theirs[id]}`).toBeLessThan(1e-6 * volumeM3)
      }
    }
  })

  it('on networks that are worth comparing: many claims, and many of them held by something other than their need', () => {
    const inputs = Array.from({ length: 500 }, (_, index) => randomNetwork(index + 1))
    const results = inputs.flatMap((input) => allocate(input).claims)
    const heldBy = (kind: string) => results.filter((claim) => claim.heldBy.kind === kind).length
    expect(inputs.filter(({ claims }) => claims.length >= 20).length).toBeGreaterThan(250)
    expect(inputs.filter(({ weirs, pumps }) => weirs.length >= 3 && pumps.length >= 4).length).toBeGreaterThan(100)
    for (const kind of ['need', 'outlet', 'pump', 'weir']) expect(heldBy(kind), kind).toBeGreaterThan(500)
    expect(results.filter(({ byOutletM3 }) => Object.keys(byOutletM3).length > 1).length).toBeGreaterThan(100)
  })

  it('and the published litres are those amounts rounded down', () => {
    for (let seed = 1; seed <= 50; seed++) {
      const input = randomNetwork(seed)
      const exact = exactM3(input)
      for (const { id, allocatedM3 } of allocate(input).claims) {
        expect(allocatedM3).toBeLessThanOrEqual(exact[id]! + 1e-9)
        expect(allocatedM3).toBeGreaterThan(exact[id]! - 0.001)
      }
    }
  })
})
