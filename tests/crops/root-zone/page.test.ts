import { describe, expect, it } from 'vitest'
import { addWeatherDay } from '../../../server/water/weather/store.ts'
import { bookSince, onPlot, shown, withPen } from '../farm.ts'

const FINE = { tmaxC: 30, tminC: 16, rainMm: 0 }
type Weather = { tmaxC?: number; tminC?: number; rainMm?: number } | null

/** A tomato on loamy sand sown on 1 June, and the weather of the 1st to the 7th; today is the 8th. */
async function farm(weather: (day: number) => Weather, { sownOn = '2026-06-01' } = {}) {
  const book = await bookSince('2026-06-01T05:00:00Z', '2026-06-08T05:00:00Z')
  const plotId = await onPlot(book.db, { soil: 'loamy_sand' })
  await withPen(book.db, async (pen) => {
    for (let day = 1; day <= 7; day++) {
      const read = weather(day)
      if (read) await addWeatherDay(pen, { onDate: `2026-06-0${day}`, ...read })
    }
  })
  const plan = await book.ada.fill('/crops/new', { plotId, cropKey: 'tomato', area: '400', sownOn })
  return { ...book, plotId, zone: `${plan.path.replace('lines/crop', 'plans')}/soil` }
}

/** FAO-56 (1998), equations 52 and 21 to 25 at 1.5 degrees south on a June day with 30 and 16 degrees. */
function etoMm(date: string): number {
  const day = (Date.parse(date) - Date.parse('2026-01-01')) / 86_400_000 + 1
  const latitude = (-1.5 * Math.PI) / 180
  const declination = 0.409 * Math.sin((2 * Math.PI * day) / 365 - 1.39)
  const sunset = Math.acos(-Math.tan(latitude) * Math.tan(declination))
  const angle =
    sunset * Math.sin(latitude) * Math.sin(declination) + Math.cos(latitude) * Math.cos(declination) * Math.sin(sunset)
  const above = ((24 * 60) / Math.PI) * 0.082 * (1 + 0.033 * Math.cos((2 * Math.PI * day) / 365)) * angle
  return 0.0023 * (23 + 17.8) * Math.sqrt(14) * 0.408 * above
}

/**
 * The balance by hand: a seedling's roots of 0.2 m (FAO-56, Annex 8) on loamy sand, 90 mm/m (Table 19 as in Example 36), draw
 * 18 mm; Kc 0.6 (Table 12); p = 0.4 + 0.04 (5 - ETc) (Table 22); nothing rains, nothing is given.
 */
function byHand(days: number) {
  let depletionMm = 0
  let readilyMm = 0
  const date = (day: number) => new Date(Date.parse('2026-06-01') + day * 86_400_000).toISOString().slice(0, 10)
  for (let day = 0; day < days; day++) {
    const use = 0.6 * etoMm(date(day))
    readilyMm = Math.min(0.8, 0.4 + 0.04 * (5 - use)) * 18
    const stress = depletionMm <= readilyMm ? 1 : (18 - depletionMm) / (18 - readilyMm)
    depletionMm += stress * use
  }
  return { depletionMm, readilyMm }
}

describe('the root zone of a crop', () => {
  it('is followed day by day as the published equations have it, with days left before any depletion', async () => {
    const { ada, zone } = await farm(() => FINE)
    const page = await ada.open(zone)
    const after7 = byHand(7)
    expect(page.words).toMatch(/Short of water now|days left before stress|One day left/)
    expect(page.words.indexOf('Short of water now')).toBeLessThan(page.words.indexOf('the roots had used'))
    const row = page.html.querySelectorAll('tbody tr').find((one) => one.text.includes(shown('2026-06-07')))!
    const cells = row.querySelectorAll('td.n').map((cell) => Number(cell.text))
    expect(cells[5]).toBeCloseTo(after7.depletionMm, 0)
    expect(Math.abs(cells[5]! - after7.depletionMm)).toBeLessThan(0.0501)
    expect(Math.abs(cells[6]! - after7.readilyMm)).toBeLessThan(0.0501)
    expect(page.words).toMatch(/18 mm = 90 × 0\.2/)
  })

  it('tells the last day to water on the cautious side, as a range of days', async () => {
    // A soaking on the 6th refills the roots, so the 8th begins with what was used on the 7th.
    const { ada, zone } = await farm((day) => ({ ...FINE, rainMm: day === 6 ? 60 : 0 }))
    const { words, html } = await ada.open(zone)
    const use = 0.6 * etoMm('2026-06-07')
    const readilyMm = Math.min(0.8, 0.4 + 0.04 * (5 - use)) * 18
    // Stress begins on the first day that starts with more used than comes without stress: the use of the 7th and n days.
    const likely = Math.floor(readilyMm / use - 1) + 1
    expect(words).toContain(likely === 1 ? 'One day left' : `${likely} days left before stress`)
    expect(words).toContain('To be on the safe side, water it by')
    expect(html.querySelector('main svg title')?.text).toContain('Water in the soil')
    expect(html.querySelectorAll('svg .in-edge').length).toBeGreaterThan(0)
  })

  it('fills one forgotten day by those around it and says which', async () => {
    const whole = await farm(() => FINE)
    const gap = await farm((day) => (day === 3 ? null : FINE))
    const page = await gap.ada.open(gap.zone)
    expect(page.words).toContain('One day since sowing was not wholly written')
    expect(page.words).toContain(shown('2026-06-03'))
    const depletion = (words: string) => /roots had used (\d+) mm/.exec(words)![1]
    expect(depletion(page.words)).toBe(depletion((await whole.ada.open(whole.zone)).words))
    expect((await gap.ada.open('/crops')).words).toContain('Plot 1 is short of water now')
  })

  it('cannot say with most days missing, and says why', async () => {
    const { ada, zone } = await farm((day) => (day > 5 ? FINE : null))
    const page = await ada.open(zone)
    expect(page.words).toContain('Cannot say how long the water in the soil lasts')
    expect(page.html.querySelector('main svg')).toBeNull()
  })

  it('has nothing to follow before sowing, and no page for a crop that is not there', async () => {
    const { ada, zone } = await farm(() => FINE, { sownOn: '2026-06-20' })
    expect((await ada.open(zone)).words).toContain('not sown yet')
    expect((await ada.open('/crops/plans/nowhere/soil')).status).toBe(404)
  })
})
