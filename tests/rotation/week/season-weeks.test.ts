import { expect, it } from 'vitest'
import { findPublishedWeek, publishedWeeks } from '../../../server/rotation/published/store.ts'
import { openValley } from '../../support/valley.ts'

it('of all weeks of a season what is asked of them stays read, without their longest parts; one week has them all', async () => {
  const { db } = await openValley()
  const weeks = await publishedWeeks(db, { reaching: '2000-01-01' })
  expect(weeks.length).toBeGreaterThan(3)
  const again = await publishedWeeks(db, { reaching: '2000-01-01' })
  for (const [at, { weekStartOn, inputs, results }] of weeks.entries()) {
    expect([again[at]!.inputs === inputs, again[at]!.results === results]).toEqual([true, true])
    const whole = (await findPublishedWeek(db, weekStartOn))!
    expect(whole.inputs).toMatchObject(inputs)
    expect(whole.results).toMatchObject(results)
    const left = [...Object.keys(whole.inputs), ...Object.keys(whole.results)].filter(
      (name) => !(name in inputs || name in results),
    )
    expect(left).toEqual(expect.arrayContaining(['pastWeeks', 'claims', 'allocationInput', 'allocation']))
    expect(JSON.stringify([inputs, results]).length).toBeLessThan(
      JSON.stringify([whole.inputs, whole.results]).length * 0.6,
    )
  }
})
