import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import {
  addAbstraction,
  deliveredByPlot,
  listAbstractions,
  type NewAbstraction,
  strikeAbstraction,
} from '../../../server/abstractions/draw/store.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { seasonBalance } from '../../../server/water/balance/state.ts'
import { runs } from '../../support/runs.ts'
import { optionValue } from '../../support/visitor.ts'
import { abstractionsBook, addDawnLevel, addDryDays, TODAY } from '../book.ts'

// By hand, as in page-balance.test.ts: 1.60 m to 1.20 m of depth is 202.5 x (1.6² - 1.2²) = 226.8 m3.
const FALL_LITRES = 226_800
const [FIRST, LAST] = ['2026-06-02', '2026-06-09']

/** What was first written, what it became by corrections one after the other, and whether it was struck out in the end. */
const draw = fc.record({
  day: fc.integer({ min: 0, max: 6 }),
  litres: fc.array(fc.integer({ min: 0, max: 40_000 }), { minLength: 1, maxLength: 3 }),
  isStruck: fc.boolean(),
})

describe('any log with any corrections', () => {
  it('leaves in a dry stretch exactly what nobody wrote down', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(draw, { maxLength: 6 }), async (draws) => {
        const { db, writing, ...ids } = await abstractionsBook()
        await writing(async (pen) => {
          await addDryDays(pen, '2026-06-01', 11)
          await addDawnLevel(pen, ids.weirId, FIRST!, 90)
          await addDawnLevel(pen, ids.weirId, LAST!, 130)
          for (const { day, litres, isStruck } of draws) {
            let correctsId: string | null = null
            for (const part of litres) {
              const head = correctsId === null ? {} : { correctsId, reason: 'misread' }
              correctsId = await addAbstraction(pen, drawn(ids, addDays(FIRST!, day), part / 1000), head)
            }
            if (isStruck) await strikeAbstraction(pen, { correctsId: correctsId!, reason: 'never ran' })
          }
        })
        const stands = draws.filter(({ isStruck }) => !isStruck)
        const litres = stands.reduce((sum, { litres }) => sum + litres.at(-1)!, 0)
        const { group } = await seasonBalance(db, answers.water, { group: (await currentGroup(db))!, on: TODAY })
        expect(Math.round(group.unexplainedM3 * 1000)).toBe(FALL_LITRES - litres)
        expect([group.rechargeM3, group.lossM3]).toEqual([0, 0])
        const delivered = await deliveredByPlot(db, { fromOn: FIRST!, toOn: LAST! })
        expect(delivered.get(ids.plotId) ?? 0).toBe(litres / 1000)
        await db.destroy()
      }),
      runs(12),
    )
  })
})

describe('the form of a correction', () => {
  it.each([
    ['hours', { hours: '2:10' }, ['#hours', '2:10']],
    ['hours', { hours: '1.3333' }, ['#hours', '1.3333']],
    ['volume', { volume: '35', unit: 'jerrycans' }, ['#volume', '35']],
    ['volume', { volume: '0.35', unit: 'm3' }, ['#volume', '0.35']],
    ['meter', { opening: '12.25', closing: '14' }, ['#closing', '14']],
  ] as const)('shows %s as they were typed (%o) and changes nothing by itself', async (method, fields, [id, shown]) => {
    const { ada, db } = await abstractionsBook()
    const form = await ada.open(`/log/water?use=drinking&method=${method}`)
    const place = optionValue(form, 'place', 'Outlet 3')
    const entry = await ada.send(form, { ...fields, place, startTime: '07:00' })
    const [before] = await listAbstractions(db, { fromOn: TODAY, toOn: TODAY })
    const correction = await ada.open(`${entry.path}/correct`)
    expect(correction.html.querySelector(id)?.getAttribute('value')).toBe(shown)
    await ada.send(correction, { reason: 'the remark was missing', remark: 'cold morning' })
    const after = await listAbstractions(db, { fromOn: TODAY, toOn: TODAY })
    expect(after).toHaveLength(1)
    const { volumeM3, uncertaintyM3, grade, happenedAt, pumpId } = before!
    expect(after[0]).toMatchObject({ volumeM3, uncertaintyM3, grade, happenedAt, pumpId, remark: 'cold morning' })
    expect(after[0]).toMatchObject({ correctsId: before!.id, reason: 'the remark was missing' })
  })
})

type Ids = { weirId: string; pumpId: string; outletId: string; plotId: string }

function drawn({ weirId, pumpId, outletId, plotId }: Ids, onDate: string, volumeM3: number): NewAbstraction {
  return {
    ...{ onDate, use: 'irrigation', weirId, pumpId, outletId, plotId, turnId: null, takerId: null, method: 'meter' },
    ...{ openingM3: 1000, closingM3: 1000 + volumeM3, hours: null, flowM3PerH: null, startTime: null, endTime: null },
    ...{ volumeM3, uncertaintyM3: 0, grade: 'measured', remark: null },
  }
}
