import { describe, expect, it } from 'vitest'
import { weeklyNeeds } from '../../server/crops/need/state.ts'
import { addCropPlan } from '../../server/crops/plan/store.ts'
import { currentGroup } from '../../server/people/group/store.ts'
import { addWeatherDay } from '../../server/water/weather/store.ts'
import { optionValue, type Visitor } from '../support/visitor.ts'
import { bookSince, onPlot, withPen } from './farm.ts'

const TODAY = '2026-06-08'
const WEEK = TODAY

/** A plot of 400 m2 after a dry week, in a book that began a week ago. */
async function dryWeek() {
  const book = await bookSince('2026-06-01T05:00:00Z', `${TODAY}T05:00:00Z`)
  const plotId = await onPlot(book.db)
  await withPen(book.db, async (pen) => {
    for (let day = 1; day <= 7; day++)
      await addWeatherDay(pen, { onDate: `2026-06-0${day}`, tmaxC: 30, tminC: 16, rainMm: 0 })
  })
  return { ...book, plotId }
}

describe('two crops on one plot', () => {
  const ofTomatoes = async (beside: string | null) => {
    const { db, plotId } = await dryWeek()
    await withPen(db, async (pen) => {
      await addCropPlan(pen, { plotId, cropKey: 'tomato', areaM2: 400, sownOn: '2026-06-01' })
      if (beside) await addCropPlan(pen, { plotId, cropKey: beside, areaM2: 400, sownOn: '2026-06-01' })
    })
    const [plot] = await weeklyNeeds(db, { group: (await currentGroup(db))!, weekStartOn: WEEK })
    const { result } = plot!.plans.find(({ crop }) => crop.key === 'tomato')!
    return { need: plot!.need!.likelyM3, own: result.known ? result.grossM3.likely : Number.NaN }
  }

  it('in the same rows have half of the ground each, so that the plot asks for no water twice', async () => {
    const alone = await ofTomatoes(null)
    const twice = await ofTomatoes('eggplant')
    expect(alone.own).toBeGreaterThan(1)
    expect(twice.own).toBeCloseTo(alone.own / 2, 9)
    expect(twice.need).toBeLessThan(1.1 * alone.need)
  })
})

const jerrycans = async (ada: Visitor, plotId: string) => {
  const { words } = await ada.open(`/crops/plots/${plotId}`)
  return Number(/([\d,]+) jerrycans/.exec(words)![1]!.replace(',', ''))
}

it('asks for less once straw lies on the ground, and for as much as before once it is gone', async () => {
  const { ada, plotId } = await dryWeek()
  await ada.fill('/crops/new', { plotId, cropKey: 'tomato', area: '400', sownOn: '2026-06-01' })
  const bare = await jerrycans(ada, plotId)
  const lay = (kind: string) => ada.fill('/crops/settle/mulch', { plotId, kind, percent: '100', fromOn: TODAY })
  await lay('straw')
  expect(await jerrycans(ada, plotId)).toBeLessThan(bare)
  await lay('none')
  expect(await jerrycans(ada, plotId)).toBe(bare)
})

it('reckons with less use under young trees that shade a tenth of their ground', async () => {
  const { ada, db, plotId } = await dryWeek()
  const sown = { plotId, cropKey: 'citrus_70', area: '400', sownOn: '2026-01-01' }
  const trees = await ada.fill('/crops/new', sown)
  const useMm = async () => {
    const [plot] = await weeklyNeeds(db, { group: (await currentGroup(db))!, weekStartOn: WEEK })
    const { result } = plot!.plans[0]!
    return result.known ? result.useMm.likely : Number.NaN
  }
  const [grown, canAsked] = [await useMm(), await jerrycans(ada, plotId)]
  const cover = trees.path.replace('lines/crop', 'settle/cover')
  await ada.fill(cover, { percent: '10', height: '1.5', onDate: TODAY })
  expect((await ada.open(cover)).html.querySelector('#percent')!.getAttribute('value')).toBe('10')
  // FAO-56, equation 98 (memory): a tenth in shade makes 0.2 of what full leaves add to bare ground's 0.15.
  expect(await useMm()).toBeLessThan(0.5 * grown)
  expect(await jerrycans(ada, plotId)).toBeLessThan(canAsked)
})

it('begins a local crop with the figures of a similar one, under a name of its own', async () => {
  const { ada } = await dryWeek()
  const door = (await ada.open('/crops/working/crop/cabbage')).html
    .querySelectorAll('a')
    .map((a) => a.getAttribute('href'))
  expect(door).toContain('/crops/list/new?like=cabbage')
  const printed = await ada.open('/crops/list/cabbage')
  const begun = await ada.open('/crops/list/new?like=cabbage')
  const typed = (page: typeof begun, field: string) => page.html.querySelector(`#${field}`)?.getAttribute('value')
  for (const field of ['kcIni', 'kcMid', 'kcEnd', 'iniDays', 'lateDays', 'rootDepth', 'depletionFraction'])
    expect(typed(begun, field), field).toBe(typed(printed, field))
  expect(typed(begun, 'name') ?? '').toBe('')
  await ada.send(begun, { name: 'Field kale' }, '/crops/list/new')
  expect(optionValue(await ada.open('/crops/new'), 'cropKey', 'Field kale')).toBeTruthy()
})
