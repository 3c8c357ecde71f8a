import { describe, expect, it } from 'vitest'
import { addWeatherDay } from '../../server/water/weather/store.ts'
import { optionValue, type Seen, type Visitor } from '../support/visitor.ts'
import { bookSince, onPlot, shown, withPen } from './farm.ts'

const TODAY = '2026-06-08'
const FINE = { tmaxC: 30, tminC: 16, rainMm: 0 }
const beside = (page: Seen, field: string) => page.html.querySelector(`#${field}-error`)?.text ?? ''

async function farm(weather: Record<string, number> | null = FINE, days = 7) {
  const book = await bookSince('2026-06-01T05:00:00Z', `${TODAY}T05:00:00Z`)
  const plotId = await onPlot(book.db, { soil: 'loamy_sand' })
  await withPen(book.db, async (pen) => {
    for (let day = days; weather && day >= 1; day--) {
      const onDate = new Date(Date.parse(TODAY) - day * 86_400_000).toISOString().slice(0, 10)
      await addWeatherDay(pen, { onDate, ...weather })
    }
  })
  return { ...book, plotId }
}

const sow = (ada: Visitor, plotId: string, change: Record<string, string> = {}) =>
  ada.fill('/crops/new', { plotId, cropKey: 'tomato', area: '400', sownOn: '2026-06-01', ...change })
const need = async (ada: Visitor, plotId: string) => (await ada.open(`/crops/plots/${plotId}`)).words

const OKRA = {
  ...{ name: 'Okra', kcIni: '0.5', kcMid: '1.1', kcEnd: '0.9', iniDays: '20', devDays: '30', midDays: '40' },
  ...{ lateDays: '10', rootDepth: '0.4', depletionFraction: '0.3', height: '0.4', words: 'Seen in our own plots.' },
  fromOn: '2026-01-01',
}

describe('a crop that nobody has heard of', () => {
  it('is planned by the stages that the group gives', async () => {
    const { ada, plotId } = await farm()
    expect((await ada.fill('/crops/list/new', OKRA)).words).toMatch(/Okra the group's own figures/)
    const cropKey = optionValue(await ada.open('/crops/new'), 'cropKey', 'Okra')
    const plan = await sow(ada, plotId, { cropKey })
    expect(plan.words).toContain('Okra on plot 1 Ford plot')
    expect(plan.words).toMatch(new RegExp(`initial ?${shown('2026-06-01')} ?${shown('2026-06-20')}`))
    expect(plan.words).toContain('Seen in our own plots.')
    expect(await need(ada, plotId)).toMatch(/the plot needs about \d/)
  })

  /** FAO-56 (1998), Example 36: onion on loamy sand, roots 0.4 m, p 0.3: 36 mm in all, 11 mm of it readily. */
  it('has the available water of the published example on loamy sand', async () => {
    const { ada, db } = await farm()
    const furrows = await onPlot(db, { number: 2, soil: 'loamy_sand', method: 'surface' })
    const zoneOf = async (kc: string) => {
      // Standing for years, so that its roots are full grown from the first day.
      await ada.fill('/crops/list/new', {
        ...OKRA,
        name: `Onion ${kc}`,
        perennial: 'yes',
        kcIni: kc,
        kcMid: kc,
        kcEnd: kc,
      })
      const cropKey = optionValue(await ada.open('/crops/new'), 'cropKey', `Onion ${kc}`)
      return ada.open(`${(await sow(ada, furrows, { cropKey })).path.replace('lines/crop', 'plans')}/soil`)
    }
    // The printed p holds at 5 mm a day: with about 4.7 mm of reference demand that is a coefficient of 1.06.
    const page = await zoneOf('1.06')
    const etoMm = Number(/to expect ?([\d.]+) mm a day/.exec(page.words)![1])
    expect(Math.abs(1.06 * etoMm - 5)).toBeLessThan(0.3)
    expect(page.words).toContain('36 mm = 90 × 0.4')
    expect(page.words).toMatch(/Of it without stress ?11 mm/)
  })

  it('keeps the earlier figures for what was sown before a new version', async () => {
    const { ada, plotId } = await farm()
    await ada.fill('/crops/list/new', OKRA)
    const cropKey = optionValue(await ada.open('/crops/new'), 'cropKey', 'Okra')
    const before = await sow(ada, plotId, { cropKey, area: '100' })
    await ada.fill(`/crops/list/${cropKey}`, { iniDays: '5', fromOn: '2026-06-05' })
    const after = await sow(ada, plotId, { cropKey, area: '100', sownOn: '2026-06-06' })
    expect((await ada.open(before.path)).words).toContain(shown('2026-06-20'))
    expect(after.words).toMatch(new RegExp(`initial ?${shown('2026-06-06')} ?${shown('2026-06-10')}`))
    expect((await ada.open('/crops/list')).words).toContain('stages of 5, 30, 40, 10 days')
  })

  it('makes a printed crop without stages usable', async () => {
    const { ada, plotId } = await farm()
    expect((await sow(ada, plotId, { cropKey: 'garlic' })).status).toBe(422)
    const stages = { iniDays: '20', devDays: '30', midDays: '60', lateDays: '30', fromOn: '2026-01-01' }
    await ada.fill('/crops/list/garlic', stages)
    expect((await sow(ada, plotId, { cropKey: 'garlic' })).words).toContain('Garlic on plot 1')
  })

  it.each([
    ['iniDays', { iniDays: '0', devDays: '0', midDays: '0', lateDays: '0' }, 'At least one stage'],
    ['kcMid', { kcMid: '0.2' }, 'swapped'],
    ['rootDepth', { rootDepth: '40' }, 'from 0.1 to 3'],
    ['devDays', { devDays: '2.5' }, 'whole number'],
    ['words', { words: '' }, 'fill this in'],
  ])('says beside %s what is wrong with %j, and writes nothing', async (field, change, words) => {
    const { ada, db } = await farm()
    const page = await ada.fill('/crops/list/new', { ...OKRA, ...change })
    expect(page.status).toBe(422)
    expect(beside(page, field)).toContain(words)
    expect(page.html.querySelector('#name')?.getAttribute('value')).toBe('Okra')
    expect(await db.selectFrom('ownCrop').selectAll().execute()).toEqual([])
  })
})

describe("the group's own figures", () => {
  it('leave the need as it was while none is written', async () => {
    const { ada, plotId } = await farm()
    await sow(ada, plotId)
    const before = await need(ada, plotId)
    expect((await ada.open('/crops/figures')).words).toContain('evenly more between. Where rain is not written')
    await ada.fill('/crops/settle/place', { fromOn: '2026-06-01' })
    expect(await need(ada, plotId)).toBe(before)
  })

  it('count rain by the rule that the group settled', async () => {
    const { ada, plotId } = await farm({ ...FINE, rainMm: 1 })
    await sow(ada, plotId)
    expect(await need(ada, plotId)).toMatch(/that counts ?0 mm/)
    await ada.fill('/crops/settle/rain', { threshold: '0', percent: '80', fromOn: '2026-06-01' })
    expect(await need(ada, plotId)).toMatch(/that counts ?5\.6 mm/)
  })

  it('say the need from the month table where there is no thermometer', async () => {
    const { ada, plotId } = await farm({ rainMm: 0 })
    await sow(ada, plotId)
    expect(await need(ada, plotId)).toContain('Cannot say what the plot needs')
    const months = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']
    const table = { ...Object.fromEntries(months.map((month) => [month, '5'])), words: 'The weather service.' }
    await ada.fill('/crops/settle/months', { ...table, fromOn: '2026-01-01' })
    const words = await need(ada, plotId)
    // 7 days x 0.6 x 5 mm are 21 mm. Of the 18 mm that 0.2 m of loamy sand hold, p = 0.4 + 0.04 (5 - 3) = 0.48 comes without
    // stress: 3, 6, 9, 11.9, 13.9, 15.2, 16.1 mm are used by the seven evenings since sowing. Two turns: 16.1 + 21 / 4 = 21.3, but
    // the roots hold no more than 18 + 3 = 21; and 21 / 2 = 10.5. On 400 m2 under drip 31.5 / 0.85 x 0.4 = 14.8 m3.
    expect(words).toContain('From the month table')
    expect(words).toMatch(/use in the week ?21 mm/)
    expect(words).toContain('Likely 15 m³')
    const bad = await ada.fill('/crops/settle/months', { ...table, jun: '50' })
    expect(beside(bad, 'jun')).toContain('from 0 to 20')
  })

  it('bend a mid-season value of 1.10 to 1.14 at 2.2 m/s and 30 per cent (FAO-56, Example 29), once turned on', async () => {
    const weather = { ...FINE, windMPerS: 2.2, rhMinPct: 30, rhMaxPct: 80 }
    const { ada, plotId } = await farm(weather, 12)
    await ada.fill('/crops/list/new', { ...OKRA, iniDays: '0', devDays: '0', lateDays: '0' })
    const cropKey = optionValue(await ada.open('/crops/new'), 'cropKey', 'Okra')
    await sow(ada, plotId, { cropKey })
    expect(await need(ada, plotId)).toMatch(/mean of the week.*?1\.1 /)
    await ada.fill('/crops/settle/place', { byClimate: 'yes', fromOn: '2026-06-01' })
    const words = await need(ada, plotId)
    expect(words).toMatch(/mean of the week.*?1\.14/)
    expect(words).toContain('2.2 m/s, 30 %')
  })

  it('say so where wind and humidity were not read often enough', async () => {
    const { ada, plotId } = await farm()
    await sow(ada, plotId)
    await ada.fill('/crops/settle/place', { byClimate: 'yes', fromOn: '2026-06-01' })
    expect(await need(ada, plotId)).toContain('fewer than 10 of the past 30 days have both')
  })

  it('lower the first stage under drip where only a part of the ground is wetted', async () => {
    const { ada, plotId } = await farm()
    await sow(ada, plotId)
    const use = (words: string) => Number(/use in the week ?([\d.]+) mm/.exec(words)![1])
    const printed = use(await need(ada, plotId))
    const wetting = { wettingDays: '4', wettingMm: '8', fromOn: '2026-06-01' }
    await ada.fill('/crops/settle/place', { ...wetting, wettedPart: 'yes' })
    const words = await need(ada, plotId)
    expect(words).toContain('35% of the ground wetted')
    expect(use(words)).toBeLessThan(printed)
    const half = await ada.fill('/crops/settle/place', { wettingDays: '4', wettingMm: '' })
    expect(beside(half, 'wettingMm')).toContain('both the days and the depth')
  })

  it('take more water for a clogged line from the day it was written, and know which method clogs', async () => {
    const { ada, plotId } = await farm()
    await sow(ada, plotId)
    expect(await need(ada, plotId)).toContain('75–90 %')
    const wrong = await ada.fill('/crops/settle/watering', { plotId, state: 'windy', fromOn: TODAY })
    expect(beside(wrong, 'state')).toContain('does not know this state')
    await ada.fill('/crops/settle/watering', { plotId, state: 'clogged', fromOn: TODAY })
    expect(await need(ada, plotId)).toContain('50–75 %')
    expect((await ada.open(`/crops/plots/${plotId}?week=2026-06-01`)).words).not.toContain('50–75 %')
  })
})

it('gives a thirsty plot on sand as many turns a week as the group allows, from the day it says', async () => {
  const { ada, plotId } = await farm()
  await sow(ada, plotId, { cropKey: 'lettuce', sownOn: '2026-06-02' })
  expect(await need(ada, plotId)).toMatch(/turns in the week ?two, of \d+ and \d+ mm/)
  expect((await ada.open('/crops/figures')).words).toContain('Up to 2 turns a week for a plot, until the group')
  const most = (turns: string, fromOn = TODAY) => ada.fill('/crops/settle/most-turns', { turns, fromOn })
  expect((await most('3')).words).toContain(`Up to 3 turns a week for a plot, since ${shown(TODAY)}`)
  expect(await need(ada, plotId)).toMatch(/turns in the week ?3, the first of \d+ mm/)
  await most('1')
  expect(await need(ada, plotId)).toMatch(/turns in the week ?one of \d+ mm/)
  expect((await most('4')).status).toBe(422)
})

it('asks for a quarter more where a fifth is to wash salt down, and says so, from the day it was settled', async () => {
  const { ada, plotId } = await farm()
  await sow(ada, plotId)
  const efficiency = async () =>
    (await need(ada, plotId))
      .match(/(\d+)–(\d+) %/)
      ?.slice(1)
      .map(Number) ?? []
  const cans = async () => Number((await need(ada, plotId)).match(/([\d,]+) jerrycans/)?.[1]?.replace(',', ''))
  const [before, sound] = [await cans(), await efficiency()]
  const settled = await ada.fill('/crops/settle/salt', { percent: '20', fromOn: TODAY })
  expect(settled.words).toContain(`is to sink through and wash salt down, since ${shown(TODAY)}`)
  expect(await efficiency()).toEqual(sound.map((percent) => Math.round(0.8 * percent)))
  expect((await cans()) / before).toBeCloseTo(1.25, 1)
  expect(await need(ada, plotId)).toContain('FAO-29')
  expect((await ada.open(`/crops/plots/${plotId}?week=2026-06-01`)).words).not.toContain('FAO-29')
  expect((await ada.fill('/crops/settle/salt', { percent: '60', fromOn: TODAY })).status).toBe(422)
})

describe('several rain gauges', () => {
  it('credit each plot with the storm of its own bank: 22 mm on one, 4 on the other', async () => {
    const { ada, db, plotId } = await farm()
    const other = await onPlot(db, { number: 2, name: 'East plot', soil: 'loam' })
    await sow(ada, plotId)
    await sow(ada, other)
    const gauge = async (number: string, name: string, plot: string, rainMm: string) => {
      const page = await ada.fill('/crops/weather/gauge', { number, name })
      await ada.fill(page.path.replace('lines/gauge-rain', 'weather/new'), { onDate: '2026-06-05', rainMm })
      const gaugeId = page.path.split('/')[4]!
      await ada.fill('/crops/weather/gauge?as=plots', { gaugeId, plotIds: [plot], fromOn: '2026-06-01' })
      return page.path
    }
    const west = await gauge('1', 'West bank', plotId, '4')
    await gauge('2', 'East bank', other, '22')
    // 4 mm are between 2.5 and 7.5: (4 - 2.5) / 5 of three quarters of 7.5.
    expect(await need(ada, plotId)).toMatch(/that counts ?1\.7 mm/)
    expect(await need(ada, other)).toMatch(/that counts ?16\.5 mm/)
    expect(await need(ada, plotId)).toContain('On 6 days nobody read it; the rain of the weather book stood in.')
    expect((await ada.open('/crops/weather?open=gauges')).words).toMatch(/1 West bank ?1 Ford plot/)
    const again = await ada.fill(west.replace('lines/gauge-rain', 'weather/new'), { onDate: '2026-06-05', rainMm: '5' })
    expect(beside(again, 'reason')).toContain('written already')
    await ada.fill(west.replace('lines/gauge-rain', 'weather/new'), {
      onDate: '2026-06-05',
      rainMm: '14',
      reason: 'Misread.',
    })
    expect(await need(ada, plotId)).toMatch(/that counts ?10\.5 mm/)
  })

  it('refuse a number that is taken, a day to come and rain below nothing', async () => {
    const { ada, db } = await farm()
    const { path } = await ada.fill('/crops/weather/gauge', { number: '1', name: 'West' })
    expect(beside(await ada.fill('/crops/weather/gauge', { number: '1', name: 'East' }), 'number')).toContain('taken')
    const rain = (fields: Record<string, string>) =>
      ada.fill(path.replace('lines/gauge-rain', 'weather/new'), { onDate: '2026-06-05', rainMm: '1', ...fields })
    expect(beside(await rain({ onDate: '2026-06-20' }), 'onDate')).toContain('still to come')
    expect(beside(await rain({ rainMm: '-1' }), 'rainMm')).toContain('from 0 to')
    expect(await db.selectFrom('gaugeRain').selectAll().execute()).toEqual([])
  })
})

it('prints a blank month in the order of the form', async () => {
  const { ada } = await farm()
  const page = await ada.open('/crops/weather?as=sheet&month=2026-06')
  expect(page.html.querySelectorAll('tbody tr')).toHaveLength(30)
  const heads = page.html.querySelectorAll('thead th').map((head) => head.text)
  const labels = (await ada.open('/crops/weather/new')).html.querySelectorAll('label').map((label) => label.text)
  expect(labels.slice(1, 4).map((label, at) => label.startsWith(heads[at + 1]!))).toEqual([true, true, true])
})

it('sows again on the ground of a crop that ended', async () => {
  const { ada, plotId } = await farm()
  const plan = await sow(ada, plotId, { area: '250' })
  const ended = await ada.fill(`${plan.path.replace('lines/crop', 'plans')}/end`, {
    outcome: 'harvested',
    endedOn: '2026-06-07',
  })
  const door = ended.html.querySelectorAll('a').find((link) => link.text === 'Sow again on this ground')!
  const form = await ada.open(door.getAttribute('href')!)
  expect(form.html.querySelector('#area')?.getAttribute('value')).toBe('250')
  expect(form.html.querySelector('#cropKey option[selected]')?.getAttribute('value')).toBe('tomato')
})
