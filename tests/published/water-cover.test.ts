import { expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { daysOfCover } from '../../domain/water/cover.ts'
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
  offTakeLevelM: 0,
  waterLevelM: 1.6,
  levelErrorCm: 0,
  loss: { dailyM3: 1.3 },
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
  const [unkept] = daysOfCover({ weirs: [weir], today, lateRainOn: today })
  expect(unkept!.middle.daysToEmpty).toBe(50)
})
