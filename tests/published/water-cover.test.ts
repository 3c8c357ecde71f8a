import { expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { daysOfCover } from '../../domain/water/path/cover.ts'
import { stepDay, storageModel } from '../../domain/water/path/store.ts'
import { daysShort, storePath } from '../../domain/water/path/store-path.ts'
import { wedgeSandBody, withLevelVolumeTable } from '../../domain/water/sand/body.ts'

// Worked case (derived): 640 m3; people and stock 3.2, irrigation 8.5, loss 1.3 m3 a day, loss held constant. All uses
// last 49.2 days, people, stock and loss alone 142.2 days; 75 days to the rain need 337.5 m3, so that irrigation can go
// on for (640 - 337.5) / 8.5 = 35.6 days. Dates are whole days: the first morning after.
const same = (levelM: number, m3: number) => ({ levelM, lowM3: m3, likelyM3: m3, highM3: m3 })
const body = withLevelVolumeTable({
  body: wedgeSandBody({
    crestHeightM: 2,
    crestWidthM: 20,
    bedSlope: 0.01,
    valleyShape: 'rectangle',
    crestLevelM: 2,
    specificYield: { low: 0.25, likely: 0.25, high: 0.25 },
  }),
  rows: [same(0, 0), same(2, 800)],
  grade: 'calibrated',
})
const weir = {
  weirId: 'only',
  feedsWeirId: null,
  body,
  // The floor of every plan, 5 cm above the off-take, so stands at the bed, as the case has it.
  offTakeLevelM: -0.05,
  waterLevelM: 1.6,
  levelErrorCm: 0,
  loss: { dailyM3: 1.3 },
  rise: 1,
  extraWeeks: 0,
  leakShare: 0,
  dailyDrinkingM3: 3.2,
  weeklyIrrigationM3: 8.5 * 7,
}
const today = '2025-08-01'

it('says how long 640 m3 last with and without irrigation', () => {
  const [cover] = daysOfCover({ weirs: [weir], today, lateRainOn: addDays(today, 75) })
  expect(cover!.middle.daysToDrinkingLine).toBe(36)
  expect(cover!.middle.weeks[0]).toMatchObject({ availableM3: 640, reserveM3: 337.5 })
  expect(cover!.ifIrrigationStops.daysToEmpty).toBe(143)
  const store = storageModel(weir)
  let [storedM3, days] = [640, 0]
  const flows = { rechargeM3: 0, fedFromAboveM3: 0, drinkingM3: 3.2, irrigationM3: 8.5, leakShare: 0 }
  for (; storedM3 > 0; days++) storedM3 = stepDay(store, storedM3, flows).storageM3
  expect(days).toBe(50)
})

const needsM3 = Array.from({ length: 11 }, () => 8.5 * 7)
const path = {
  storedM3: 640,
  weekStartOn: today,
  lateRainOn: addDays(today, 75),
  extraWeeks: 0,
  dailyDrinkingM3: 3.2,
  needsM3,
}

it('lets irrigation have (640 - 337.5) / 75 = 4.0333 m3 a day: 52.5 per cent less than its 8.5', () => {
  const { share, firstDryOn, parts } = storePath({ ...path, store: storageModel(weir) })
  expect(share * 8.5).toBeCloseTo(4.0333, 3)
  expect(1 - share).toBeCloseTo(0.5254902, 4)
  expect(firstDryOn).toBeNull()
  expect(parts.drinkingM3).toBeCloseTo(3.2 * 75, 6)
})

it('names the first of 18 dry days where 142.2 days of drinking must last 160', () => {
  const { firstDryOn, keepUntilOn } = storePath({
    ...path,
    store: storageModel(weir),
    lateRainOn: addDays(today, 160),
    needsM3: [],
  })
  expect(firstDryOn).toBe(addDays(today, 142))
  expect(daysShort({ fromOn: today, firstDryOn: firstDryOn!, keepUntilOn })).toEqual({ days: 18, ofDays: 160 })
})

it('notices that the last day is a cubic metre short of its drinking water', () => {
  // Ten days take 45 m3; with 44 the tenth has 2.2 of its 3.2 m3, and the store stands at its floor, not below.
  const days = { lateRainOn: addDays(today, 10), needsM3: [] }
  const { firstDryOn } = storePath({ ...path, ...days, store: storageModel(weir), storedM3: 44 })
  expect(firstDryOn).toBe(addDays(today, 9))
  expect(storePath({ ...path, ...days, store: storageModel(weir), storedM3: 45 }).firstDryOn).toBeNull()
})
