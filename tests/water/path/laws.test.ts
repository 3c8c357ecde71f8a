import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { sandEvaporationShare } from '../../../domain/water/loss/sand-evaporation.ts'
import { lossByLevelM3 } from '../../../domain/water/path/loss-by-level.ts'
import { fittedLoss } from '../../../domain/water/path/loss-from-rests.ts'
import { fromHeadDown, stepDay } from '../../../domain/water/path/store.ts'
import { storePath } from '../../../domain/water/path/store-path.ts'
import { runs } from '../../support/runs.ts'
import { tank } from './tank.ts'

const m3 = (max: number) => fc.oneof(fc.constantFrom(0, 64, 80, max), fc.double({ min: 0, max, noNaN: true }))

describe('a day of a weir', () => {
  it('makes no water and loses none, serves drinking first and irrigation above the off-take alone', () => {
    const flows = fc.record({
      rechargeM3: m3(300),
      fedFromAboveM3: m3(300),
      drinkingM3: m3(100),
      irrigationM3: m3(200),
    })
    fc.assert(
      fc.property(
        m3(640),
        flows,
        fc.constantFrom(0, 0.3, 1),
        fc.constantFrom(0, 5, 900),
        (openingM3, day, leakShare, dailyLossM3) => {
          const found = stepDay(tank(dailyLossM3), openingM3, { ...day, leakShare })
          const { storageM3, lossM3, spilledM3, drinkingM3, irrigationM3 } = found
          const came = openingM3 + day.rechargeM3 + day.fedFromAboveM3
          expect(storageM3 + lossM3 + spilledM3 + drinkingM3 + irrigationM3).toBeCloseTo(came, 8)
          expect(spilledM3).toBeCloseTo(Math.max(0, came - 640), 8)
          expect(lossM3).toBeCloseTo(Math.min(dailyLossM3, came - spilledM3), 8)
          expect(drinkingM3).toBeCloseTo(Math.min(day.drinkingM3, came - spilledM3 - lossM3), 8)
          // The off-take of the box lies under 64 m3.
          const above = came - spilledM3 - lossM3 - drinkingM3 - 64
          expect(irrigationM3).toBeCloseTo(Math.min(day.irrigationM3, Math.max(0, above)), 8)
          expect(found.toBelowM3).toBeCloseTo(spilledM3 + leakShare * lossM3, 8)
        },
      ),
    )
  })

  it('of a stream comes after the day of every weir that feeds it', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(9), { maxLength: 9 }), (feeds) => {
        // Each weir feeds one that was named before it, or none: no ring.
        const weirs = feeds.map((at, place) => ({
          weirId: `w${place}`,
          feedsWeirId: place > 0 && at < place ? `w${at}` : null,
        }))
        const ordered = fromHeadDown(weirs).map(({ weirId }) => weirId)
        expect(ordered.toSorted()).toEqual(weirs.map(({ weirId }) => weirId).toSorted())
        for (const { weirId, feedsWeirId } of weirs)
          if (feedsWeirId) expect(ordered.indexOf(weirId)).toBeLessThan(ordered.indexOf(feedsWeirId))
      }),
    )
    const ring = [
      { weirId: 'a', feedsWeirId: 'b' },
      { weirId: 'b', feedsWeirId: 'a' },
    ]
    expect(() => fromHeadDown(ring)).toThrow(RangeError)
  })
})

describe('the share of every week', () => {
  it('with a steady loss is what is left after it and drinking, over what is asked on the days to the late rain', () => {
    const weeks = fc.array(fc.constantFrom(0, 10, 35), { minLength: 1, maxLength: 4 })
    const lengths = fc.constantFrom<number | number[]>(7, 5, [3, 5])
    const days = fc.constantFrom(-3, 0, 6, 7, 12, 20)
    fc.assert(
      fc.property(
        weeks,
        weeks,
        lengths,
        days,
        fc.constantFrom(0, 1),
        m3(200),
        (needsM3, givenM3, daysInWeek, toRain, extraWeeks, storedM3) => {
          const path = storePath({
            ...{ store: tank(0.5), storedM3, weekStartOn: '2026-07-01', lateRainOn: addDays('2026-07-01', toRain) },
            ...{ extraWeeks, dailyDrinkingM3: 1, needsM3, givenM3, daysInWeek },
          })
          const lengthOf = (week: number) => (typeof daysInWeek === 'number' ? daysInWeek : week === 0 ? 3 : 5)
          const watered = Math.max(toRain, lengthOf(0))
          const lasts = Math.max(lengthOf(0), 7, Math.max(0, toRain) + 7 * extraWeeks)
          let [asked, given, week, left] = [0, 0, 0, lengthOf(0)]
          for (let day = 0; day < watered; day++) {
            asked += (needsM3[week] ?? 0) / lengthOf(week)
            given += (givenM3[week] ?? 0) / lengthOf(week)
            if (--left === 0) left = lengthOf(++week)
          }
          const spare = storedM3 - 80 - 1.5 * lasts - given
          const share = spare < 0 ? 0 : asked === 0 ? 1 : Math.min(1, spare / asked)
          expect(path.share).toBeCloseTo(share, 4)
          expect(path.keepUntilOn).toBe(addDays('2026-07-01', lasts))
          const open = Math.max(0, storedM3 - 64)
          expect(path.availableM3).toBeCloseTo(open, 8)
          expect(path.releaseM3).toBeCloseTo(Math.min(open, lengthOf(0) + share * needsM3[0]!), 2)
          if (open === 0) expect(path.heldBy).toBe('nothing-above-off-take')
          else if (spare < -1e-6) expect(path.heldBy).toBe('drinking-only')
          else if (spare > asked + 1e-6) expect(path.heldBy).toBe('need')
          const { aboveFloorM3, ...spent } = path.parts
          expect(Object.values(spent).reduce((sum, part) => sum + part, 0)).toBeCloseTo(aboveFloorM3, 6)
        },
      ),
      runs(150),
    )
  })
})

// 1,000 m3 to each metre over a bed at 100 m, of yield 0.25: open water of 6 mm gives 24 m3 a day off all of it.
const CURVE = {
  bedLevelM: 100,
  crestLevelM: 102,
  specificYield: 0.25,
  storedM3: (levelM: number) => 1000 * (Math.min(102, Math.max(100, levelM)) - 100),
}
const shareAt = (levelM: number) => sandEvaporationShare({ waterTableDepthM: 102 - levelM }) ?? 0

describe('the loss told from one fall', () => {
  const lossAt = (fallCmPerDay: number | null, measuredAtLevelM = 102) =>
    lossByLevelM3(CURVE, { fallCmPerDay, measuredAtLevelM })

  it('is half evaporation and half leak where that is no more than open water gives', () => {
    // Two centimetres at the crest are 20 m3, 10 of each; the one falls with its share by depth, the other with the head.
    const at = lossAt(2)
    expect(at(102)).toBeCloseTo(20, 9)
    expect(at(101.2)).toBeCloseTo((10 * shareAt(101.2)) / shareAt(102) + 6, 9)
    expect(at(101.7)).toBeCloseTo((10 * shareAt(101.7)) / shareAt(102) + 8.5, 9)
  })

  it('gives to evaporation no more than 8 mm of open water, and to leak the rest', () => {
    // Eight centimetres are 80 m3; open water of 4,000 m2 gives 32 m3 a day, the sand its share of them.
    expect(lossAt(8)(102)).toBeCloseTo(80, 9)
    expect(lossAt(8)(101.2)).toBeCloseTo(32 * shareAt(101.2) + (80 - 32 * shareAt(102)) * 0.6, 9)
  })

  it('is all leak where the water lay too deep to dry, and the least of 0.3 per cent where nothing fell', () => {
    expect(lossAt(1, 100.6)(101.2)).toBeCloseTo(20, 9)
    expect(lossAt(1, 100.6)(100.3)).toBeCloseTo(5, 9)
    for (const nothing of [null, 0, -2]) expect(lossAt(nothing)(101)).toBeCloseTo(3, 9)
    expect(lossAt(1)(99)).toBe(0)
  })
})

describe('the loss fitted to rests', () => {
  const rest = fc.record({
    levelM: fc.constantFrom(101.9, 101.7, 101.4, 101.1, 100.6),
    fallM: fc.double({ min: 0, max: 0.03, noNaN: true }),
    days: fc.integer({ min: 1, max: 6 }),
  })

  it('misses what was seen and expected by less than any other pair would', () => {
    fc.assert(
      fc.property(fc.array(rest, { maxLength: 5 }), (drawn) => {
        const rests = drawn.map(({ levelM, fallM, days }) => ({
          startLevelM: levelM + fallM / 2,
          endLevelM: levelM - fallM / 2,
          days,
        }))
        const { evaporationTimes, leakPart } = fittedLoss(CURVE, { rests, openWaterMm: 6 })
        fc.pre(evaporationTimes > 0 && leakPart > 0 && leakPart < 0.002)
        /** Squares of all misses, each over its own deviation: 1.5 cm at either end of a rest. */
        const missed = (times: number, part: number) =>
          drawn.reduce(
            (total, { levelM, fallM, days }) => {
              const expected = times * 24 * shareAt(levelM) + part * 1000 * (levelM - 100)
              return total + ((1000 * fallM - days * expected) / (15 * Math.SQRT2)) ** 2
            },
            ((times - 1) / 0.4) ** 2 + ((part - 0.0007) / 0.0014) ** 2,
          )
        const best = missed(evaporationTimes, leakPart)
        for (const [times, part] of [
          [0.01, 0],
          [-0.01, 0],
          [0, 3e-5],
          [0, -3e-5],
          [0.01, -3e-5],
          [-0.01, 3e-5],
        ])
          expect(missed(evaporationTimes + times!, leakPart + part!)).toBeGreaterThan(best)
      }),
      runs(60),
    )
  })

  it('without a rest is what is expected, with a quarter of its doubt', () => {
    const { at, ...found } = fittedLoss(CURVE, { rests: [], openWaterMm: 6 })
    expect(found.evaporationTimes).toBeCloseTo(1, 12)
    expect(found.evaporationDeviation).toBeCloseTo(0.4, 12)
    expect(found.leakPart).toBeCloseTo(0.0007, 12)
    expect(found.leakDeviation).toBeCloseTo(0.0014, 12)
    // At 101.2 m: 24 m3 by its share, 0.7 m3 to each of 1.2 m of head, and a quarter of 40 and 200 per cent of them at right angles.
    const evaporationM3 = 24 * shareAt(101.2)
    expect(at(101.2).evaporationM3).toBeCloseTo(evaporationM3, 9)
    expect(at(101.2).leakM3).toBeCloseTo(0.84, 9)
    expect(at(101.2).cautionM3).toBeCloseTo(0.25 * Math.hypot(0.4 * evaporationM3, 1.68), 9)
    expect(at(101.2).lossM3).toBeCloseTo(evaporationM3 + 0.84 + 0.25 * Math.hypot(0.4 * evaporationM3, 1.68), 9)
  })

  it('never falls under what sand loses at least, and gains nothing by banks at any level', () => {
    for (const [startLevelM, endLevelM] of [
      [101.3, 101.5],
      [101.85, 101.95],
      [100.5, 100.6],
    ]) {
      const risen = Array.from({ length: 20 }, () => ({ startLevelM: startLevelM!, endLevelM: endLevelM!, days: 6 }))
      const { evaporationTimes, leakPart, at } = fittedLoss(CURVE, { rests: risen, openWaterMm: 6 })
      expect([evaporationTimes, leakPart].every((part) => part >= 0)).toBe(true)
      expect(at(100.9).lossM3).toBeGreaterThanOrEqual(0.45 - 1e-12)
      for (const levelM of [100.4, 101.3, 101.9]) expect(at(levelM).lossM3).toBeGreaterThanOrEqual(at(levelM).cautionM3)
    }
  })
})
