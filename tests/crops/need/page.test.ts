import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { addWeatherDay } from '../../../server/water/weather/store.ts'
import { OWN_GROUP, openBook } from '../../support/book.ts'
import type { Visitor } from '../../support/visitor.ts'
import { bookSince, onPlot, shown, withPen } from '../farm.ts'
import { SEATTLE_COLUMNS, SEATTLE_FILE } from '../weather/seattle.ts'

const STATION = { latitude: '47.45', longitude: '-122.31', elevation: '132', timeZone: 'America/Los_Angeles' }
const SEASON = { seasonStart: '2015-04-01', seasonEnd: '2015-10-31' }
const WEEK = '2015-08-17'
const AREA_M2 = 4000

/**
 * The need worked out from the published equations, apart from the code under test: depletion day by day (FAO-56, equations 84
 * and 85; p of Table 22 by the day's use, p. 162), then what the roots lack for a week of two turns at most.
 */
function needByHand(sownOn: string) {
  const dayMs = 86_400_000
  const rows = readFileSync(SEATTLE_FILE, 'utf8').trim().split('\n').slice(1)
  const days = rows.map((row) => row.split(',')).filter(([date]) => date! >= '2015-08-10' && date! < WEEK)
  const weekEto = days.map(([date, , max, min]) => hargreaves(date!, Number(max), Number(min)))
  const meanEtoMm = weekEto.reduce((sum, mm) => sum + mm, 0) / 7
  const roots = (age: number, useMm: number) => {
    // Sandy loam holds 130 mm in a metre, the middle of FAO-56, Table 19; drip wets half of a grown crop's ground.
    const totalMm = 130 * tomatoRootM(age) * (1 - 0.5 * Math.min(1, Math.max(0, (age - 30) / 40)))
    return { totalMm, readilyMm: Math.min(0.8, Math.max(0.1, 0.4 + 0.04 * (5 - useMm))) * totalMm }
  }
  let lacksMm = 0
  let mostMm = 0
  for (const [date, rain, max, min] of rows.map((row) => row.split(','))) {
    if (date! < sownOn || date! >= WEEK) continue
    const age = (Date.parse(date!) - Date.parse(sownOn)) / dayMs + 1
    const useMm = tomatoKc(age) * hargreaves(date!, Number(max), Number(min))
    mostMm = Math.max(mostMm, roots(age, useMm).totalMm)
    const readilyMm = (roots(age, useMm).readilyMm / roots(age, useMm).totalMm) * mostMm
    const stress = lacksMm <= readilyMm ? 1 : (mostMm - lacksMm) / (mostMm - readilyMm)
    const wet = lacksMm - countedMm(Number(rain))
    lacksMm = Math.max(0, wet + Math.min(stress * useMm, mostMm - wet))
  }
  const age = (Date.parse(WEEK) - Date.parse(sownOn)) / dayMs + 1
  const uses = [0, 1, 2, 3, 4, 5, 6].map((day) => tomatoKc(age + day) * meanEtoMm).filter((useMm) => useMm > 0)
  const useMm = uses.reduce((sum, mm) => sum + mm, 0)
  mostMm = Math.max(mostMm, roots(age, uses[0]!).totalMm)
  const readilyMm = (roots(age, uses[0]!).readilyMm / roots(age, uses[0]!).totalMm) * mostMm
  const turns = Math.min(2, Math.ceil(useMm / readilyMm))
  const turnHoldsMm = mostMm + useMm / uses.length
  const firstMm = Math.min(turnHoldsMm, lacksMm + useMm / (2 * turns))
  const wantedMm = firstMm + (turns - 1) * Math.min(turnHoldsMm, useMm / turns)
  const lastMm = Math.min(0.8, 0.4 + 0.04 * (5 - uses.at(-1)!)) * mostMm
  const harvestInWeek = uses.length < 7
  const netMm = Math.max(0, harvestInWeek ? Math.min(wantedMm, lacksMm + useMm - lastMm) : wantedMm)
  return { days: days.length, meanEtoMm, lacksMm, turns, netMm, likelyM3: (netMm / 1000 / 0.85) * AREA_M2 }
}

/** Nothing of a shower up to 2.5 mm, three quarters from 7.5 mm on, evenly more between: common practice, no source. */
function countedMm(rainMm: number): number {
  if (rainMm >= 7.5) return 0.75 * rainMm
  return rainMm <= 2.5 ? 0 : (0.75 * 7.5 * (rainMm - 2.5)) / 5
}

/** FAO-56 (1998), equation 52 with equation 21 for the radiation above the air (0.408 turns MJ/m2 into mm, Box 1). */
function hargreaves(date: string, max: number, min: number): number {
  const dayOfYear = (Date.parse(date) - Date.parse(`${date.slice(0, 4)}-01-01`)) / 86_400_000 + 1
  const latitude = (47.45 * Math.PI) / 180
  const distance = 1 + 0.033 * Math.cos((2 * Math.PI * dayOfYear) / 365) // equation 23
  const declination = 0.409 * Math.sin((2 * Math.PI * dayOfYear) / 365 - 1.39) // equation 24
  const sunset = Math.acos(-Math.tan(latitude) * Math.tan(declination)) // equation 25
  const above =
    ((24 * 60) / Math.PI) *
    0.082 *
    distance *
    (sunset * Math.sin(latitude) * Math.sin(declination) +
      Math.cos(latitude) * Math.cos(declination) * Math.sin(sunset))
  return 0.0023 * ((max + min) / 2 + 17.8) * Math.sqrt(max - min) * 0.408 * above
}

/** FAO-56, Table 12 (0.6, 1.15, 0.8) over the stages of Table 11 (30, 40, 40, 25 days), equation 66 between them. */
function tomatoKc(day: number): number {
  if (day < 1 || day > 135) return 0
  if (day <= 30) return 0.6
  if (day <= 70) return 0.6 + ((day - 30) / 40) * 0.55
  if (day <= 110) return 1.15
  return 1.15 - ((day - 110) / 25) * 0.35
}

/** Seedling roots of 0.2 m (FAO-56, Annex 8) grow through development to the 0.7 m of Table 22. */
function tomatoRootM(day: number): number {
  return 0.2 + 0.5 * Math.min(1, Math.max(0, (day - 30) / 40))
}

describe('the need of a plot from the daily records of a station', () => {
  it.each([
    ['at the start', '2015-08-01'],
    ['growing', '2015-07-01'],
    ['passing into mid-season', '2015-06-11'],
    ['in mid-season', '2015-05-20'],
    ['ripening', '2015-04-20'],
    ['with two days to go', '2015-04-06'],
  ])('agrees with the published equations for a tomato %s', async (_stage, sownOn) => {
    const book = await openBook('2015-04-01T18:00:00Z')
    const ada = book.visitor()
    await ada.fill('/start', { ...OWN_GROUP, ...STATION, ...SEASON })
    book.setNow('2016-01-05T18:00:00Z')
    await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
    const plotId = await onPlot(book.db, { areaM2: AREA_M2 })
    await ada.fill('/crops/weather/list', { list: readFileSync(SEATTLE_FILE, 'utf8'), ...SEATTLE_COLUMNS })
    await ada.fill('/crops/new', { plotId, cropKey: 'tomato', area: String(AREA_M2), sownOn })
    const page = await ada.open(`/crops/plots/${plotId}?week=${WEEK}`)
    const expected = needByHand(sownOn)
    expect(expected.days).toBe(7)
    const figure = (pattern: RegExp) => Number(pattern.exec(page.words)![1]!.replace(',', ''))
    // Half a unit of the last figure that the page shows.
    expect(
      Math.abs(figure(/to expect(?: Mean of the past seven days\.)? ?([\d.]+) mm a day/) - expected.meanEtoMm),
    ).toBeLessThan(0.0501)
    expect(Math.abs(figure(/lack on the eve of the week ?([\d.]+) mm/) - expected.lacksMm)).toBeLessThan(0.501)
    expect(Math.abs(figure(/bring to the roots ?([\d.]+) mm/) - expected.netMm)).toBeLessThan(0.501)
    const likelyM3 = figure(/Likely ([\d.,]+) m³/)
    expect(Math.abs(likelyM3 - expected.likelyM3)).toBeLessThan(expected.likelyM3 < 9.95 ? 0.0501 : 0.501)
  })
})

async function farm(
  weather: (day: number) => { tmaxC?: number; tminC?: number; rainMm?: number } | null,
  now = '2026-06-08T05:00:00Z',
) {
  const book = await bookSince('2026-06-01T05:00:00Z', now)
  const plotId = await onPlot(book.db)
  await withPen(book.db, async (pen) => {
    for (let day = 1; day <= 7; day++) {
      const read = weather(day)
      if (read) await addWeatherDay(pen, { onDate: `2026-06-0${day}`, ...read })
    }
  })
  return { ...book, plotId }
}
const FINE = { tmaxC: 30, tminC: 16, rainMm: 0 }
const sow = (ada: Visitor, plotId: string, change: Record<string, string> = {}) =>
  ada.fill('/crops/new', { plotId, cropKey: 'tomato', area: '400', sownOn: '2026-06-01', ...change })

describe('the crops room', () => {
  it('tells what each plot needs this week, as a range and in jerrycans, linked to its working', async () => {
    const { ada, plotId } = await farm(() => FINE)
    await sow(ada, plotId)
    const page = await ada.open('/crops')
    expect(page.words).toContain(`Week from ${shown('2026-06-08')} to ${shown('2026-06-14')}`)
    const row = page.html.querySelector('.list a[href^="/crops/plots/"]')!
    expect(row.text.replace(/\s+/g, ' ')).toMatch(/1 ?Ford plot.*Tomato, initial/)
    const [, cans, m3] = row
      .querySelector('.figure')!
      .text.replace(/\s+/g, ' ')
      .match(/(\d+0–\d+0) jerrycans, ([\d.–]+) m³/)!
    expect(cans).toBeTruthy()
    const working = await ada.open(row.getAttribute('href')!)
    expect(working.words).toContain('FAO-56 (1998), chapter 6')
    expect(working.words).toContain(m3)
    expect(working.html.querySelectorAll('a[href^="/crops/lines/weather/2026-06-0"]')).toHaveLength(7)
  })

  // It is Monday 8 June: who suffers in two days suffers on Wednesday, and the last day to water it is Tuesday.
  it.each([
    [40, 'Plot 2 Ford plot is the first to suffer, likely in 2 days. Water it by Tuesday 9 June.'],
    [
      12,
      'Plot 2 is short of water now.Of the others plot 1 Ford plot is the first to suffer, likely in 2 days. Water it by Tuesday 9 June.',
    ],
    [
      10,
      'Plot 2 is short of water now.Of the others plot 1 Ford plot is the first to suffer, likely in one day. Water it today.',
    ],
    [8, '2 plots are short of water now: 1, 2.Water to bring'],
  ])(
    'after %d mm of rain yesterday names the plot that suffers first and the last day to water it',
    async (rainMm, said) => {
      const { ada, db, plotId } = await farm((day) => (day === 7 ? { ...FINE, rainMm } : FINE))
      await sow(ada, plotId)
      const sandy = await onPlot(db, { number: 2, soil: 'sand' })
      await sow(ada, sandy, { cropKey: 'lettuce', sownOn: '2026-05-11' })
      expect((await ada.open('/crops')).words).toContain(said)
    },
  )

  it('names every plot that is short now, and a crop past its last stage is asked about', async () => {
    const { ada, db, plotId } = await farm(() => FINE)
    const [other, third] = [await onPlot(db, { number: 2 }), await onPlot(db, { number: 3 })]
    for (const dry of [plotId, other]) await sow(ada, dry, { cropKey: 'lettuce', sownOn: '2026-05-11' })
    await sow(ada, third, { cropKey: 'radish', sownOn: '2026-04-20' })
    const page = await ada.open('/crops')
    expect(page.words).toContain('2 plots are short of water now: 1, 2.')
    expect(page.words).toContain('On plot 3 a crop is past its last stage and asks for no more water.')
    expect((await ada.open('/')).words).toContain('past its last stage on 3')
    const row = page.html.querySelector('.list a[href^="/crops/plans/"][href$="/end"]')!
    expect(row.text).toContain('Past its last stage: write in the harvest.')
    expect(row.querySelector('.figure')!.text.trim()).toBe('0')
  })

  it('says that no plot is written in while there is none', async () => {
    const book = await bookSince('2026-06-01T05:00:00Z', '2026-06-08T05:00:00Z')
    expect((await book.ada.open('/crops')).words).toContain('No plot is written in yet.')
    await onPlot(book.db)
    expect((await book.ada.open('/crops')).words).not.toContain('No plot is written in yet.')
  })

  it('cannot say without weather, says why and offers the safe action', async () => {
    const { ada, plotId } = await farm(() => null)
    await sow(ada, plotId)
    const page = await ada.open('/crops')
    expect(page.words).toContain('fewer than four days with both temperatures')
    expect(page.words).toContain('7 days have no rain written')
    expect(page.words).toContain('Until then give those plots what they got last week')
    const working = await ada.open(`/crops/plots/${plotId}`)
    expect(working.words).toContain('Cannot say what the plot needs')
    expect(working.words).not.toMatch(/about \d/)
  })

  it('goes on with one day of rain missing as a doubt, and names the day', async () => {
    const { ada, plotId } = await farm((day) => (day === 3 ? { tmaxC: 30, tminC: 16 } : FINE))
    await sow(ada, plotId)
    const asked = /([\d.]+)–([\d.]+)/
    expect((await ada.open('/crops')).words).toMatch(asked)
    expect((await ada.open(`/crops/plots/${plotId}`)).words).toContain(
      `No rain is written for ${shown('2026-06-03')}: each counts as anything from nothing to a soaking rain.`,
    )
  })

  it('plans the coming week while some of its days before are still to come, and says so', async () => {
    const { ada, plotId } = await farm((day) => (day <= 5 ? FINE : null), '2026-06-06T05:00:00Z')
    await sow(ada, plotId)
    const page = await ada.open('/crops?week=2026-06-08')
    expect(page.words).toContain('2 days before this week are still to come; they count without rain.')
    expect((await ada.open(`/crops/plots/${plotId}?week=2026-06-08`)).words).toMatch(
      /about \d.*2 days before this week/,
    )
  })

  it('widens the range and says so when a day of temperatures is missing', async () => {
    const { ada, plotId } = await farm((day) => (day === 3 ? { rainMm: 0 } : FINE))
    await sow(ada, plotId)
    expect((await ada.open(`/crops/plots/${plotId}`)).words).toContain(
      'Mean of the 6 measured days of the past fortnight',
    )
  })

  it('counts more rain as less need, up to what the roots hold', async () => {
    const needs = []
    for (const rainMm of [0, 10, 20, 70]) {
      const { ada, plotId } = await farm((day) => ({ ...FINE, rainMm: day === 5 ? rainMm : 0 }))
      await sow(ada, plotId)
      const { words } = await ada.open(`/crops/plots/${plotId}`)
      needs.push(Number(/bring to the roots ?([\d.]+) mm/.exec(words)![1]))
    }
    expect(needs[0]).toBeGreaterThan(needs[1]!)
    expect(needs[1]).toBeGreaterThan(needs[2]!)
    // 20 mm have filled a seedling's roots by the evening of the 5th; 70 mm drain.
    expect(needs[3]).toBe(needs[2])
  })

  it('needs nothing for a bare plot, a crop not yet sown and one that is gone', async () => {
    const { ada, plotId } = await farm(() => FINE)
    expect((await ada.open(`/crops/plots/${plotId}`)).words).toContain('nothing stands on this plot')
    await sow(ada, plotId, { sownOn: '2026-06-20' })
    expect((await ada.open(`/crops/plots/${plotId}`)).words).toContain('nothing stands on this plot')
    expect((await ada.open(`/crops/plots/${plotId}?week=2026-06-15`)).words).not.toContain(
      'nothing stands on this plot',
    )
  })

  it('snaps any day to its week and has no page for a plot that is not there', async () => {
    const { ada } = await farm(() => FINE)
    expect((await ada.open('/crops?week=2026-06-13')).words).toContain(`Week from ${shown('2026-06-08')}`)
    expect((await ada.open('/crops?week=next')).words).toContain(`Week from ${shown('2026-06-08')}`)
    expect((await ada.open('/crops/plots/nowhere')).status).toBe(404)
  })
})
