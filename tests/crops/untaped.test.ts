import { describe, expect, it } from 'vitest'
import { partsOf } from '../../domain/rotation/share/mix.ts'
import { sum } from '../../domain/sum.ts'
import { cropBook } from '../../server/crops/crop/store.ts'
import { groundM2, plotGroundM2 } from '../../server/crops/plan/ground.ts'
import { addCropPlan, cropPlans } from '../../server/crops/plan/store.ts'
import { listPlots } from '../../server/people/plot/store.ts'
import { TODAY } from '../abstractions/book.ts'
import { startedBook } from '../support/book.ts'

/** A book whose only plot nobody taped, with two crops that stand side by side on it. */
async function untaped(areasM2: readonly number[]) {
  const book = await startedBook(`${TODAY}T05:00:00Z`)
  const { ada, db } = book
  await ada.fill('/paper/many/weirs', { pasted: '1\tFig\t0\t2\t12\t2\t\t\t\tbox\tcoarse' })
  const weir = await db.selectFrom('weir').select('entryId').executeTakeFirstOrThrow()
  await ada.fill('/works/pumps/new', { name: 'Lower', weirId: weir.entryId, usualFlow: '4' })
  await ada.fill('/paper/many/outlets', { pasted: '1\tStand\t1\t20\t18' })
  const written = await ada.fill('/paper/many/plots', { pasted: '1\tBed\t1\t?\tloam\tF\t1\t1' })
  expect(written.words).toContain('1 line is in the book now')
  const [plot] = await listPlots(db, TODAY)
  const [maize] = (await cropBook(db)).on(TODAY).filter(({ key }) => key === 'maize_grain')
  const person = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  await db.transaction().execute(async (trx) => {
    const pen = { trx, writtenBy: person.entryId, writtenAt: `${TODAY}T05:00:00.000Z` }
    for (const areaM2 of areasM2)
      await addCropPlan(pen, { plotId: plot!.id, cropKey: maize!.key, areaM2, sownOn: '2026-06-01' })
  })
  return { ...book, plot: plot!, plans: await cropPlans(db) }
}

describe('a plot that nobody taped', () => {
  it('gets water for no more ground than it has, however large it is', async () => {
    const { plot, plans } = await untaped([120, 80])
    expect(plot.isAreaKnown).toBe(false)
    const groundOf = (one: typeof plot) => sum(plans, (plan) => groundM2({ plot: one, plan, plans }, TODAY))
    expect(plotGroundM2(plot, plans)).toBe(120)
    // A plot is never smaller than the largest crop that was taken on it.
    for (const areaM2 of [120, 150, 200, 1000]) {
      expect(groundOf(plot)).toBeLessThanOrEqual(groundOf({ ...plot, areaM2, isAreaKnown: true }) + 1e-9)
    }
  })

  it('has the least part where water is shared by land, and says so', async () => {
    const { ada, plot } = await untaped([])
    const others = [{ id: 'b', areaM2: 300 }]
    const partIn = (areaM2: number) =>
      partsOf({
        plots: [{ id: plot.id, areaM2 }, ...others],
        shares: [],
        mix: { weights: { area: 1 } },
        onDate: TODAY,
      }).get(plot.id)!
    for (const areaM2 of [1, 50, 300, 5000]) expect(partIn(plot.areaM2)).toBeLessThanOrEqual(partIn(areaM2))
    const page = await ada.open(`/people/plots/${plot.id}`)
    expect(page.words).toContain('Nobody has taped this plot')
    expect((await ada.open(`/people/plots/${plot.id}/change`)).html.querySelector('#area')?.getAttribute('value')).toBe(
      '',
    )
  })
})
