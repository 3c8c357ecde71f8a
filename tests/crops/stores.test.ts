import { describe, expect, it } from 'vitest'
import { clearSkyWPerM2ByHour } from '../../domain/water/weather/clear-sky-hour.ts'
import { weeklyNeeds } from '../../server/crops/need/state.ts'
import { addCropPlan, cropPlans, endCropPlan } from '../../server/crops/plan/store.ts'
import { currentGroup } from '../../server/people/group/store.ts'
import { addWeatherDay, weatherDayHistory, weatherDays } from '../../server/water/weather/store.ts'
import { utcOffsetHours } from '../../server/web/pages/visit.ts'
import { startedBook } from '../support/book.ts'
import { onPlot, withPen } from './farm.ts'

const WEEK = '2026-06-08'
const june = (day: number) => `2026-06-${String(day).padStart(2, '0')}`

async function weatherTo(db: Awaited<ReturnType<typeof startedBook>>['db'], days: number[], rainMm = 0) {
  await withPen(db, async (pen) => {
    for (const day of days) await addWeatherDay(pen, { onDate: june(day), tmaxC: 30, tminC: 16, rainMm })
  })
}

describe('the weather book', () => {
  it('keeps one standing row a day, the latest written, and shows the earlier one still', async () => {
    const { db } = await startedBook()
    await weatherTo(db, [1, 2])
    await withPen(db, (pen) => addWeatherDay(pen, { onDate: june(2), tmaxC: 31, tminC: 15 }, { reason: 'Read again.' }))
    const days = await weatherDays(db, { fromOn: june(1), toOn: june(30) })
    expect(days.map((day) => [day.onDate, day.tmaxC, day.rainMm])).toEqual([
      [june(1), 30, 0],
      [june(2), 31, null],
    ])
    const history = await weatherDayHistory(db, june(2))
    expect(history.map((day) => [day.tmaxC, day.reason, day.writtenBy])).toEqual([
      [31, 'Read again.', 'Ada'],
      [30, null, 'Ada'],
    ])
  })
})

describe('crop plans', () => {
  it('carry the day and the way they ended, the latest written', async () => {
    const { db } = await startedBook()
    const plotId = await onPlot(db)
    await withPen(db, async (pen) => {
      const planId = await addCropPlan(pen, { plotId, cropKey: 'tomato', areaM2: 200, sownOn: '2026-05-01' })
      await endCropPlan(pen, { planId, endedOn: '2026-06-01', outcome: 'lost' })
      await endCropPlan(pen, { planId, endedOn: '2026-06-03', outcome: 'harvested' }, { reason: 'Some was saved.' })
    })
    expect(await cropPlans(db)).toMatchObject([{ cropKey: 'tomato', endedOn: '2026-06-03', outcome: 'harvested' }])
  })
})

describe('the needs of a week', () => {
  it('sum every crop that stands on the plot, and are nothing on a plot without one', async () => {
    const { db } = await startedBook()
    const plotId = await onPlot(db)
    const bare = await onPlot(db, { number: 2 })
    await weatherTo(db, [1, 2, 3, 4, 5, 6, 7])
    await withPen(db, async (pen) => {
      await addCropPlan(pen, { plotId, cropKey: 'tomato', areaM2: 200, sownOn: june(1) })
      await addCropPlan(pen, { plotId, cropKey: 'maize_grain', areaM2: 100, sownOn: june(1) })
      await addCropPlan(pen, { plotId, cropKey: 'cabbage', areaM2: 100, sownOn: '2026-07-20' })
    })
    const group = (await currentGroup(db))!
    const needs = await weeklyNeeds(db, { group, weekStartOn: WEEK })
    const [first, second] = [needs.find((one) => one.plotId === plotId)!, needs.find((one) => one.plotId === bare)!]
    expect(first.plans.map((one) => one.crop.key)).toEqual(['tomato', 'maize_grain'])
    const own = first.plans.map((one) => (one.result.known ? one.result.grossM3.likely : Number.NaN))
    expect(first.need!.likelyM3).toBeCloseTo(own[0]! + own[1]!, 12)
    // A tomato's seedling stage uses twice what a maize's does (0.6 and 0.3 times the reference, FAO-56, Table 12).
    expect(own[0]! / 200).toBeGreaterThan(own[1]! / 100)
    expect(second).toMatchObject({ need: { lowM3: 0, likelyM3: 0, highM3: 0 }, plans: [], cannotSay: [] })
  })

  it('cannot be said without weather, and say why', async () => {
    const { db } = await startedBook()
    const plotId = await onPlot(db)
    await withPen(db, (pen) => addCropPlan(pen, { plotId, cropKey: 'tomato', areaM2: 200, sownOn: june(1) }))
    const [plot] = await weeklyNeeds(db, { group: (await currentGroup(db))!, weekStartOn: WEEK })
    expect(plot).toMatchObject({ need: null, latestOn: null, daysLeft: null })
    expect(plot!.cannotSay.map((one) => one.code)).toEqual(['too-few-days-of-weather', 'rain-not-measured'])
  })

  it('can be told before the week begins, with the days still to come counted without rain', async () => {
    const { db } = await startedBook()
    const plotId = await onPlot(db)
    await weatherTo(db, [1, 2, 3, 4, 5])
    await withPen(db, (pen) => addCropPlan(pen, { plotId, cropKey: 'tomato', areaM2: 200, sownOn: june(1) }))
    const group = (await currentGroup(db))!
    const [late] = await weeklyNeeds(db, { group, weekStartOn: WEEK })
    expect(late!.missingRain).toEqual([june(6), june(7)])
    expect(late!.need!.lowM3).toBeLessThan(late!.need!.likelyM3)
    const [early] = await weeklyNeeds(db, { group, weekStartOn: WEEK, today: june(6) })
    expect(early!.toCome).toEqual([june(6), june(7)])
    expect(early!.need!.likelyM3).toBeGreaterThan(0)
    expect(early!.daysLeft).not.toBeNull()
    await weatherTo(db, [6], 40)
    const [rained] = await weeklyNeeds(db, { group, weekStartOn: WEEK, today: june(6) })
    expect(rained!.toCome).toEqual([june(7)])
    expect(rained!.need!.likelyM3).toBeLessThan(early!.need!.likelyM3)
  })

  it('are nothing for a crop that ended before the week', async () => {
    const { db } = await startedBook()
    const plotId = await onPlot(db)
    await withPen(db, async (pen) => {
      const planId = await addCropPlan(pen, { plotId, cropKey: 'tomato', areaM2: 200, sownOn: june(1) })
      await endCropPlan(pen, { planId, endedOn: june(7), outcome: 'lost' })
    })
    const [plot] = await weeklyNeeds(db, { group: (await currentGroup(db))!, weekStartOn: WEEK })
    expect(plot).toMatchObject({ need: { likelyM3: 0 }, plans: [] })
  })
})

describe('the sun under a clear sky', () => {
  it('is dark at night and highest around noon, close to 1000 W/m2 in the tropics', () => {
    const place = { latitudeDeg: -1.5, longitudeDeg: 38, elevationM: 1000 }
    const hours = clearSkyWPerM2ByHour({ ...place, date: '2026-03-21', utcOffsetHours: 3 })
    expect(hours).toHaveLength(24)
    expect(hours.filter((_, hour) => hour < 6 || hour > 18)).toEqual(Array.from({ length: 11 }, () => 0))
    expect(Math.max(...hours)).toBe(hours[12])
    expect(hours[12]).toBeGreaterThan(950)
    expect(hours[12]).toBeLessThan(1100)
  })

  it('follows the clock of a zone that moves its clocks', () => {
    const place = { latitudeDeg: 40, longitudeDeg: 0, elevationM: 0 }
    const peak = (date: string) => {
      const hours = clearSkyWPerM2ByHour({ ...place, date, utcOffsetHours: utcOffsetHours(date, 'Europe/Madrid') })
      return hours.indexOf(Math.max(...hours))
    }
    expect([peak('2026-01-15'), peak('2026-07-15')]).toEqual([13, 14])
  })
})
