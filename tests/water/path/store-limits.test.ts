import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { daysOfCover } from '../../../domain/water/path/cover.ts'
import { lossRise } from '../../../domain/water/path/loss-rise.ts'
import { needsByWeir } from '../../../domain/water/path/needs.ts'
import { dailyDrinkingM3 } from '../../../domain/water/path/reserve.ts'
import { dailyLossAtM3, levelAtM, storageModel } from '../../../domain/water/path/store.ts'
import { storePath } from '../../../domain/water/path/store-path.ts'
import { wedgeSandBody } from '../../../domain/water/sand/body.ts'
import { drainableStorageM3 } from '../../../domain/water/sand/storage.ts'
import { runs } from '../../support/runs.ts'
import { boxBody, tank } from './tank.ts'

const vee = wedgeSandBody({
  ...{ crestHeightM: 2, crestWidthM: 15, bedSlope: 0.01, valleyShape: 'triangle', crestLevelM: 102 },
  specificYield: specificYieldOf('medium-sand'),
})

describe('a store by its volume', () => {
  it('stands at the level at which so much water stands, in a valley that widens too', () => {
    const store = storageModel({ body: vee, offTakeLevelM: 100.2, loss: { dailyM3: 1 } })
    fc.assert(
      fc.property(fc.double({ min: 100.6, max: 102, noNaN: true }), (waterLevelM) => {
        const { likelyM3 } = drainableStorageM3({ body: vee, waterLevelM })
        expect(Math.abs(levelAtM(store, likelyM3) - waterLevelM)).toBeLessThan(0.01)
      }),
      runs(60),
    )
  })

  it('stands at the bed when nothing is in it, also where the lowest sand gives no water', () => {
    const row = (levelM: number, m3: number) => ({ levelM, lowM3: m3, likelyM3: m3, highM3: m3 })
    const body = { ...boxBody(), table: [row(100, 0), row(100.5, 0), row(102, 480)] }
    const store = storageModel({ body, offTakeLevelM: 100.7, loss: { fallCmPerDay: 1, measuredAtLevelM: 101 } })
    expect([levelAtM(store, 0), dailyLossAtM3(store, 0)]).toEqual([100, 0])
    // 320 m3 to the metre above half a metre.
    expect(levelAtM(store, 160)).toBeCloseTo(101, 2)
    const none = storageModel({
      ...{ body: { ...body, table: [row(100, 0), row(102, 0)] }, offTakeLevelM: 100.7 },
      loss: { dailyM3: 1 },
    })
    expect([levelAtM(none, 0), dailyLossAtM3(none, 0)]).toEqual([100, 0])
  })

  it('loses when full what a fall measured there tells, a full one and one beyond it alike', () => {
    const loss = { fallCmPerDay: 1.5, measuredAtLevelM: 102 }
    const store = storageModel({ body: vee, offTakeLevelM: 100.2, loss })
    const stored = (waterLevelM: number) => drainableStorageM3({ body: vee, waterLevelM }).likelyM3
    expect(dailyLossAtM3(store, store.capacityM3) / (stored(102) - stored(101.985))).toBeCloseTo(1, 2)
    expect(dailyLossAtM3(store, 2 * store.capacityM3)).toBe(dailyLossAtM3(store, store.capacityM3))
    expect(levelAtM(store, 2 * store.capacityM3)).toBeCloseTo(102, 9)
  })
})

describe('days of cover', () => {
  const cover = (more: object = {}) =>
    daysOfCover({
      today: '2025-07-01',
      lateRainOn: '2025-07-11',
      weirs: [
        {
          ...{ weirId: 'box', feedsWeirId: null, body: boxBody(), offTakeLevelM: 100.2, waterLevelM: 101 },
          ...{ levelErrorCm: 10, loss: { dailyM3: 2 }, rise: 1, extraWeeks: 0, leakShare: 0 },
          ...{ dailyDrinkingM3: 3, weeklyIrrigationM3: 0, ...more },
        },
      ],
    })[0]!

  it('begin a tenth of a metre lower on the low curve, as read on the likely, a tenth higher on the high one', () => {
    const { cautious, middle, hopeful } = cover()
    // 240, 320 and 400 m3 to the metre above the mouth of the off-take at 0.2 m.
    expect(cautious.weeks[0]!.availableM3).toBeCloseTo(240 * 0.7, 6)
    expect(middle.weeks[0]!.availableM3).toBeCloseTo(320 * 0.8, 6)
    expect(hopeful.weeks[0]!.availableM3).toBeCloseTo(400 * 0.9, 6)
    const doubted = cover({ lowestLevelM: 100.5 })
    expect(doubted.cautious.weeks[0]!.availableM3).toBeCloseTo(240 * 0.3, 6)
    expect(doubted.middle.weeks[0]!.availableM3).toBeCloseTo(320 * 0.8, 6)
    expect(cover({ lowestLevelM: 100.95 }).cautious.weeks[0]!.availableM3).toBeCloseTo(240 * 0.7, 6)
  })

  it('keep ten days of drinking and loss, and the margin, above the off-take', () => {
    // A tenth of a metre of margin, since the reading errs by so much: 32 m3.
    expect(cover().middle.weeks[0]!.reserveM3).toBeCloseTo(32 + 10 * 5, 6)
  })

  it('are counted to the first morning with no more than the line, and to the first with nothing', () => {
    // 256 m3 above the off-take, 5 a day: the line falls by as much until a week is left, from then on it stays at 32 + 35.
    const { middle } = cover()
    const days = Math.ceil((256 - 67) / 5)
    expect(middle.daysToDrinkingLine).toBe(days)
    expect(middle.daysToEmpty).toBe(Math.ceil(256 / 5))
    const exactly = cover({ waterLevelM: 100.2 + (32 + 50) / 320, levelErrorCm: 10 }).middle
    expect(exactly.daysToDrinkingLine).toBeLessThanOrEqual(1)
  })
})

describe('the path of a store', () => {
  const path = (more: Partial<Parameters<typeof storePath>[0]> = {}) =>
    storePath({
      ...{ store: tank(), storedM3: 400, weekStartOn: '2025-07-01', lateRainOn: '2025-07-08', extraWeeks: 2 },
      ...{ dailyDrinkingM3: 3, needsM3: [70], ...more },
    })

  it('gives this week its seven days of drinking and its part of the need, and never more than stands above the off-take', () => {
    expect(path().releaseM3).toBeCloseTo(21 + 70, 6)
    expect(path({ storedM3: 90 }).releaseM3).toBeCloseTo(21, 6)
    expect(path({ storedM3: 70 }).releaseM3).toBeCloseTo(6, 6)
  })

  it('waters to the eve of the late date and asks nothing for a week after it', () => {
    // 21 days of 3 m3 and 70 m3 above the floor of 80: just enough for the one week.
    const found = path({ storedM3: 80 + 63 + 70, needsM3: [70, 700] })
    expect(found.share).toBeCloseTo(1, 5)
    expect(found.weeks.map(({ cropsM3 }) => Math.round(cropsM3))).toEqual([70, 0, 0])
    expect(path({ storedM3: 80 + 63 + 35, needsM3: [70, 700] }).share).toBeCloseTo(0.5, 5)
  })

  it('parts all that stands above the floor, also where crops that come first ask for more than there is', () => {
    const { parts } = path({ givenM3: [700], store: tank(2) })
    // A hundred m3 a day on three days, and what is left of 400 on the fourth; then nothing is there to drink or to lose.
    expect([parts.cropsM3, parts.drinkingM3, parts.lossM3]).toEqual([380, 12, 8].map((m3) => expect.closeTo(m3, 6)))
    expect(parts.drinkingM3 + parts.lossM3 + parts.cropsM3 + parts.laterCropsM3 + parts.leftM3).toBeCloseTo(
      parts.aboveFloorM3,
      6,
    )
    expect(parts.leftM3).toBeGreaterThanOrEqual(-80 - 1e-9)
  })

  it('is dry from a first day with less than the floor, and not with just as much where nobody drinks', () => {
    const none = { dailyDrinkingM3: 0, needsM3: [] }
    expect(path({ ...none, storedM3: 80 }).firstDryOn).toBeNull()
    expect(path({ ...none, storedM3: 79.9 }).firstDryOn).toBe('2025-07-01')
  })
})

it('a plot is watered by its outlets alike where none of them was measured', () => {
  const outlets = ['upper', 'lower', 'lower'].map((weirId) => ({ weirId, flowM3PerH: 0 }))
  const found = needsByWeir({ plots: [{ needsM3: [9, 3], outlets }] })
  expect(found).toEqual(
    new Map([
      ['upper', [3, 1]],
      ['lower', [6, 2]],
    ]),
  )
})

it('nobody and nothing drunk is no drinking, and less than nobody is refused', () => {
  const users = (heads: number, litresPerHeadDay: number) => () =>
    dailyDrinkingM3({ users: [{ kind: 'person', heads, litresPerHeadDay }] })
  expect([users(0, 20)(), users(4, 0)()]).toEqual([0, 0])
  expect(users(-1, 20)).toThrow('heads-below-zero')
  expect(users(1, -0.1)).toThrow('litres-below-zero')
})

it('a store that was expected to lose nothing and fell has lost beyond all measure, three weeks behind and no shorter', () => {
  const seen = (days: number, closingM3: number) =>
    lossRise({
      store: tank(0),
      stretches: [
        {
          ...{ kind: 'dry', fromOn: '2025-07-01', toOn: '2025-07-22', days, drawnM3: 10 },
          ...{ openingM3: 400, closingM3, closingLevelM: 100 + closingM3 / 320 },
        } as never,
      ],
    })
  expect(seen(20, 300)).toBeNull()
  expect(seen(21, 300)).toMatchObject({ rise: 4, lostM3: 90, expectedM3: 0 })
  expect(seen(21, 390)!.rise).toBe(1)
})
