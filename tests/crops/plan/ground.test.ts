import { describe, expect, it } from 'vitest'
import { bookBefore } from '../../../server/crops/need/book.ts'
import { crowding, growsUntil, isOverdue, isRipe } from '../../../server/crops/plan/ground.ts'
import { mostGroundFrom } from '../../../server/crops/plan/most-ground-store.ts'
import { addCropPlan, type PlannedCrop } from '../../../server/crops/plan/store.ts'
import { stateOfLook } from '../../../server/crops/planting/ceiling.ts'
import { startedBook } from '../../support/book.ts'
import { onPlot, withPen } from '../farm.ts'

/** Ten days in each of four stages: sown on 1 June, its last stage begins on 1 July and ends on 10 July. */
const CROP = { stageDays: [10, 10, 10, 10], perennial: false }
const grown = (more: object = {}) =>
  ({
    ...{ plotId: 'ford', crop: CROP, sownOn: '2026-06-01', endedOn: null, makesWayOn: null, areaM2: 100 },
    ...more,
  }) as unknown as PlannedCrop

describe('a crop in the ground', () => {
  it('stands to the last day of its last stage, or until it was ended', () => {
    expect(growsUntil(grown())).toBe('2026-07-10')
    expect(growsUntil(grown({ endedOn: '2026-07-09' }))).toBe('2026-07-09')
    expect(growsUntil(grown({ endedOn: '2026-07-11' }))).toBe('2026-07-10')
    expect(growsUntil(grown({ makesWayOn: '2026-06-30' }))).toBe('2026-06-30')
    const on = ['2026-07-10', '2026-07-11']
    expect(on.map((today) => isOverdue(grown(), today))).toEqual([false, true])
  })

  it('is ripe from the first day of its last stage on', () => {
    const on = ['2026-06-30', '2026-07-01', '2026-07-10', '2026-07-11']
    expect(on.map((today) => isRipe(grown(), today))).toEqual([false, true, true, true])
    expect(on.map((today) => isRipe(grown({ crop: { ...CROP, perennial: true } }), today))).not.toContain(true)
  })

  it('stands together with one that is sown on its last day, and not with one of the day after', () => {
    const plot = { id: 'ford', areaM2: 150, isAreaKnown: true } as never
    const beside = (sownOn: string) => {
      const next = grown({ sownOn })
      return [crowding(plot, grown(), [grown(), next]), crowding(plot, next, [grown(), next])]
    }
    expect(beside('2026-07-10')).toEqual([200, 200])
    expect(beside('2026-07-11')).toEqual([null, null])
  })
})

it('the most ground of a plot is that of the day on which most stands, from a day on that still holds what ends on it', async () => {
  const { db } = await startedBook()
  const plotId = await onPlot(db)
  const sow = (sownOn: string, areaM2: number) =>
    withPen(db, (pen) => addCropPlan(pen, { plotId, cropKey: 'tomato', areaM2, sownOn } as never))
  // A tomato of FAO-56 stands 135 days: from 1 June to 13 October.
  await sow('2026-06-01', 100)
  await sow('2026-10-13', 70)
  await sow('2026-10-14', 20)
  expect(await mostGroundFrom(db, plotId, '2026-06-04')).toBe(170)
  expect(await mostGroundFrom(db, plotId, '2026-10-13')).toBe(170)
  expect(await mostGroundFrom(db, plotId, '2026-10-14')).toBe(90)
  expect(await mostGroundFrom(db, plotId, '2027-06-04')).toBe(0)
})

it('the book as it stood on a morning holds nothing of that day', () => {
  const both = (name: 'date' | 'onDate') => [{ [name]: '2026-06-07' }, { [name]: '2026-06-08' }]
  const lists = ['weather', 'gaugeRain', 'given', 'planned', 'untyped']
  const book = { days: both('date'), ...Object.fromEntries(lists.map((name) => [name, both('onDate')])) }
  const before = { days: [{ date: '2026-06-07' }] }
  expect(bookBefore(book as never, '2026-06-08')).toEqual({
    ...before,
    ...Object.fromEntries(lists.map((name) => [name, [{ onDate: '2026-06-07' }]])),
  })
})

describe('the second look of the water', () => {
  const weir = (readOn: string | null, isCounted = true) => ({
    water: isCounted ? {} : null,
    state: { on: '2026-08-16', reading: readOn && { readOn } },
  })
  const look = (lookOn: string, weirs: ReturnType<typeof weir>[]) => stateOfLook(lookOn, { weirs } as never)

  it('is due on its day, and done once every weir that counts was read on it or since', () => {
    expect(look('2026-08-17', [weir('2026-08-16')])).toBe('ahead')
    expect(look('2026-08-16', [weir('2026-08-15')])).toBe('due')
    expect(look('2026-08-16', [weir('2026-08-16')])).toBe('done')
    expect(look('2026-08-16', [weir('2026-08-16'), weir('2026-08-15')])).toBe('due')
    expect(look('2026-08-16', [weir('2026-08-16'), weir('2026-08-15', false)])).toBe('done')
  })
})
