import { describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { addWeatherDay } from '../../server/water/weather/store.ts'
import { bookSince, onPlot, withPen } from './farm.ts'

const TODAY = '2026-06-08'
const SOWN = '2026-06-01'
/** FAO-56 (1998), Table 11: radish 10, 10, 15 and 5 days; its last stage is its days 36 to 40. */
const LAST_STAGE = [36, 37, 38, 39, 40]

/** What a plot sown wholly with tomatoes needs and has left, beside radish that stood there on its day `radishDay` of that sowing. */
async function tomatoes(radishDay: number | null, radishM2 = '400') {
  const { ada, db } = await bookSince('2026-06-01T05:00:00Z', `${TODAY}T05:00:00Z`)
  const plotId = await onPlot(db)
  await withPen(db, async (pen) => {
    for (let day = 1; day <= 7; day++)
      await addWeatherDay(pen, { onDate: addDays(TODAY, -day), tmaxC: 30, tminC: 16, rainMm: 0 })
  })
  const sow = (change: Record<string, string>) => ada.fill('/crops/new', { plotId, ...change })
  if (radishDay !== null) await sow({ cropKey: 'radish', area: radishM2, sownOn: addDays(SOWN, 1 - radishDay) })
  await sow({ cropKey: 'tomato', area: radishDay !== null && radishM2 !== '400' ? '200' : '400', sownOn: SOWN })
  const { words } = await ada.open(`/crops/plots/${plotId}`)
  return { need: /the plot needs about \d.{60}/.exec(words)?.[0], home: (await ada.open('/crops')).words }
}

describe('a harvest that nobody wrote in', () => {
  it('takes no water from what was sown on its ground in its last stage or after, and is asked for', async () => {
    const alone = await tomatoes(null)
    expect(alone.need).toBeTruthy()
    for (const day of [...LAST_STAGE, 41, 60]) {
      const { need, home } = await tomatoes(day)
      expect(need, `day ${day}`).toBe(alone.need)
      expect(home, `day ${day}`).toContain('write in the harvest')
    }
  })

  it('is no such thing where both crops have their ground, or the older one is still growing', async () => {
    for (const [day, areaM2] of [
      [36, '200'],
      [30, '400'],
    ] as const)
      expect((await tomatoes(day, areaM2)).home).not.toContain('sown anew')
  })
})
