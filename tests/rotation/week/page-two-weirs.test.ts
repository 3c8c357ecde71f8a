import { describe, expect, it } from 'vitest'
import { checkWeek } from '../../../domain/rotation/draft/check.ts'
import type { PlannedWeek } from '../../../domain/rotation/week/planned-week.ts'
import type { Pen } from '../../../server/book/entries.ts'
import { addCropPlan } from '../../../server/crops/plan/store.ts'
import { addPlot } from '../../../server/people/plot/store.ts'
import { findPublishedWeek } from '../../../server/rotation/published/store.ts'
import { setCoverTerm } from '../../../server/water/cover/store.ts'
import { answersOf } from '../../support/visitor.ts'
import { rulesBook, TODAY, writePump, writeWeir } from '../rule/book.ts'

/** Weeks from Sunday; a second weir far below with a pump of its own, and a plot with an outlet on either. */
async function bookOfTwoWeirs({ upperDepthCm, lowerDepthCm }: { upperDepthCm: number; lowerDepthCm: number }) {
  const book = await rulesBook({ firstWeekday: '7' }, { depthCm: upperDepthCm })
  const holder = await book.db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  const upperOutlet = await book.db.selectFrom('outlet').select('entryId').executeTakeFirstOrThrow()
  const writtenAt = `${TODAY}T05:00:00.000Z`
  const between = await book.db.transaction().execute(async (trx) => {
    const pen = (): Pen => ({ trx, writtenBy: holder.entryId, writtenAt })
    const lower = { number: 2, name: 'Reed', distanceM: 900, depthCm: lowerDepthCm }
    const lowerId = await writeWeir(pen, holder.entryId, lower)
    const lowerOutletId = await writePump(pen, lowerId, 2)
    for (const weirId of [book.weirId, lowerId])
      await setCoverTerm(pen(), {
        weirId,
        fromOn: TODAY,
        weeklyPlanM3: 60,
        leakShare: 0,
        rechargeM3PerMm: null,
        words: null,
      })
    const plotId = await addPlot(pen(), {
      ...{ number: 4, name: 'between', areaM2: 100, soil: 'sandy_loam', method: 'drip', shares: 1 },
      outletIds: [upperOutlet.entryId, lowerOutletId],
      holderIds: [holder.entryId],
      fromOn: '2026-05-01',
    })
    await addCropPlan(pen(), { plotId, cropKey: 'tomato', areaM2: 100, sownOn: '2026-05-01' })
    return { plotId, outletIds: [upperOutlet.entryId, lowerOutletId] }
  })
  await book.ada.fill('/turns/rule/change', {
    ...{ equalWeight: '0', areaWeight: '100', shareWeight: '0', admission: 'crop' },
  })
  return { ...book, ...between }
}

const outletsOf = ({ turns }: PlannedWeek, plotId: string) => [
  ...new Set(turns.filter((turn) => turn.plotId === plotId).map((turn) => turn.outletId)),
]

describe('a plot with outlets on two weirs, in weeks that begin on Sunday', () => {
  it('is served from the weir that lasts longer, and the week runs from Sunday to Saturday', async () => {
    const { ada, db, plotId, outletIds } = await bookOfTwoWeirs({ upperDepthCm: 90, lowerDepthCm: 20 })
    const draft = await ada.open('/turns/weeks/2026-06-14')
    expect(draft.words).toContain('14 Jun 2026 to 20 Jun 2026')
    const published = await ada.send(
      await ada.open('/turns/weeks/2026-06-14/publish'),
      {},
      '/turns/weeks/2026-06-14/publish',
    )
    expect(published.words).toContain('Published')
    const { inputs, results } = (await findPublishedWeek(db, '2026-06-14'))!
    expect(inputs.days).toEqual(['14', '15', '16', '17', '18', '19', '20'].map((day) => `2026-06-${day}`))
    expect(checkWeek(inputs, results)).toEqual([])
    const days = Object.fromEntries(inputs.weirs.map((weir) => [weir.name, weir.coverDays!]))
    expect(days.Reed).toBeGreaterThan(days.Fig!)
    // Each weir carries its part of the plot by outlet flow, so that Reed gives what its path bears and Fig at most the rest.
    expect(outletsOf(results, plotId)).toContain(outletIds[1])
    expect((await ada.open('/turns/weeks/2026-06-15')).status).toBe(404)
  })

  it('is served from the other one when that lasts longer, as far as its water goes', async () => {
    const { ada, db, outletIds } = await bookOfTwoWeirs({ upperDepthCm: 20, lowerDepthCm: 90 })
    await ada.send(await ada.open('/turns/weeks/2026-06-14/publish'), {}, '/turns/weeks/2026-06-14/publish')
    const { inputs, results } = (await findPublishedWeek(db, '2026-06-14'))!
    // Fig's water is all given out; what is short comes from Reed, and no valve is opened for a few litres.
    const fig = inputs.weirs.find((weir) => weir.name === 'Fig')!
    const fromFig = results.turns.filter((turn) => turn.outletId === outletIds[0])
    const givenM3 = fromFig.reduce((sum, turn) => sum + turn.volumeM3, fig.drinkingM3)
    expect(givenM3).toBeGreaterThan(fig.releasableM3 - 0.1)
    expect(Math.min(...results.turns.map((turn) => turn.volumeM3))).toBeGreaterThanOrEqual(0.1)
    expect(checkWeek(inputs, results)).toEqual([])
  })

  it('counts what it drew from either for the same plot', async () => {
    const { ada, db, plotId, outletIds } = await bookOfTwoWeirs({ upperDepthCm: 70, lowerDepthCm: 20 })
    for (const [at, litres] of [4000, 2500].entries()) {
      const page = await ada.open('/log/water?use=irrigation&method=volume')
      const place = answersOf(page, 'place')
        .map(({ value }) => value)
        .find((value) => value.includes(outletIds[at]!))!
      await ada.send(page, { place, plotId, volume: String(litres / 20), unit: 'jerrycans', onDate: '2026-06-10' })
    }
    const drawn = await db
      .selectFrom('abstraction')
      .select(['volumeM3', 'weirId'])
      .where('plotId', '=', plotId)
      .execute()
    expect(drawn.map((row) => row.volumeM3)).toEqual([4, 2.5])
    expect(new Set(drawn.map((row) => row.weirId)).size).toBe(2)
    const record = await ada.open(`/turns/plots/${plotId}`)
    expect(record.words).toContain('6.5 m³ drawn')
  })
})
