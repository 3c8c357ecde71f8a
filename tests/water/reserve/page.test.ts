import { describe, expect, it } from 'vitest'
import { releasableStates, waterStates } from '../../../server/water/storage/state.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'
import { bookWithWeir, errorBeside, readLevel, signInAgain, tableRows, workingValue } from '../support.ts'

const COUNT = { people: '100', pupils: '40', cattle: '10', donkeys: '5', goatsAndSheep: '20' }
/** 100 x 15 + 40 x 3 + 10 x 25 + 5 x 12 + 20 x 5 = 2030 litres by the usual litres of the guides. */
const DRINKING_M3 = 2.03
const RAIN = { lateRainOn: '2026-09-12', wetRain: '10', fromOn: '2026-06-01' } // 100 days after 4 June

async function count(ada: Visitor, fields: Record<string, string> = {}) {
  const form = await ada.open('/water/reserve/new')
  return ada.send(form, { weirId: optionValue(form, 'weirId', 'Fig'), ...COUNT, ...fields })
}

describe('the count of people and animals', () => {
  it('offers the litres of the guides with their sources', async () => {
    const { ada } = await bookWithWeir()
    const form = await ada.open('/water/reserve/new')
    const litres = (field: string) => form.html.querySelector(`#${field}`)?.getAttribute('value')
    expect(['peopleLitres', 'pupilLitres', 'cattleLitres', 'donkeyLitres', 'goatOrSheepLitres'].map(litres)).toEqual([
      '15',
      '3',
      '25',
      '12',
      '5',
    ])
    expect(form.words).toContain('Sphere handbook')
    expect(form.words).toContain('from memory')
    expect(form.words).toContain('Boil, filter or chlorinate')
  })

  it.each([
    ['people', '-3', 'from 0 to 100,000'],
    ['cattle', '2.5', 'whole number'],
    ['goatsAndSheep', 'many', 'is not a number'],
    ['peopleLitres', '-15', 'from 0 to 500'],
    ['donkeys', '', 'Please fill this in'],
    ['weirId', 'none', 'Choose one'],
  ])('refuses %s “%s” beside the field and writes nothing', async (field, typed, words) => {
    const { ada, db } = await bookWithWeir()
    const page = await count(ada, { [field]: typed })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#pupils')?.getAttribute('value')).toBe('40')
    expect(await db.selectFrom('waterUser').selectAll().execute()).toEqual([])
  })
})

describe('the reserve', () => {
  it('is what they drink and the sand loses up to the late date of rain', async () => {
    const { ada, db, weirPath } = await bookWithWeir({ valleyShape: 'rectangle', loss: '1' })
    await readLevel(ada, 'Fig', { depth: '150' })
    await count(ada)
    await ada.fill('/water/water-settings/new', RAIN)
    // The first centimetre below half of a box of 390 m3: 390 x (0.5^2 - 0.495^2) = 1.94 m3.
    const lossM3 = 390 * (0.5 ** 2 - 0.495 ** 2)
    const working = await ada.open(`${weirPath}/reserve`)
    expect(workingValue(working, 'Drinking in a day')).toBe('2.03 m³')
    expect(workingValue(working, 'Loss in a day')).toBe('1.94 m³')
    expect(workingValue(working, 'Days to the late date')).toBe('100')
    expect(working.words).toContain(`Keep ${Math.round((DRINKING_M3 + lossM3) * 100)} m³`)
    const [state] = await waterStates(db, { on: '2026-06-04' })
    expect(state!.reserveM3).toBeCloseTo((DRINKING_M3 + lossM3) * 100, 6)
    expect(tableRows(await ada.open('/water/reserve'), 'Reserve on')[0]!.slice(1)).toEqual(['2.03', '1.94', '397'])
    expect((await ada.open('/water')).words).toContain('less than the reserve')
  })

  it('counts an unknown loss as nothing and says so', async () => {
    const { ada } = await bookWithWeir()
    await readLevel(ada, 'Fig', { depth: '150' })
    await count(ada)
    const page = await ada.fill('/water/water-settings/new', RAIN)
    expect(page.path).toBe('/water/reserve')
    expect(tableRows(page, 'Reserve on')[0]!.slice(1)).toEqual(['2.03', 'unknown', '203']) // 2.03 m3 x 100 days
    expect(page.words).toContain('loss without pumping is not known and counts as nothing')
    expect((await ada.open('/water')).words).toContain('loss without pumping is not known and counts as nothing')
  })

  it('falls as it is drunk', async () => {
    const { ada, setNow } = await bookWithWeir()
    await count(ada)
    await ada.fill('/water/water-settings/new', RAIN)
    setNow('2026-08-23T05:00:00Z') // 20 days before the late date of rain: 40.6 m3
    await signInAgain(ada)
    expect(tableRows(await ada.open('/water/reserve'), 'Reserve on')[0]!.at(-1)).toBe('41')
    setNow('2026-09-20T05:00:00Z')
    await signInAgain(ada)
    expect((await ada.open('/water/reserve')).words).toContain('late date of rain is past')
  })

  it('cannot be said while nobody counted or the late date is not set', async () => {
    const { ada, weirPath } = await bookWithWeir()
    const page = await ada.open('/water/reserve')
    expect(page.words).toContain('The late date of rain is not set')
    expect(page.words).toContain('Cannot say what weir 1 must keep. Nobody has counted')
    expect((await ada.open(`${weirPath}/reserve`)).words).toContain('plan nothing from this weir but drinking water')
  })

  it('keeps what held before when a new count is written', async () => {
    const { ada, db, setNow } = await bookWithWeir()
    await count(ada)
    setNow('2026-07-01T05:00:00Z')
    await signInAgain(ada)
    await count(ada, { people: '200', fromOn: '2026-07-01' })
    const drinking = async (on: string) => (await waterStates(db, { on }))[0]!.dailyDrinkingM3
    expect(await drinking('2026-06-30')).toBeCloseTo(2.03, 9)
    expect(await drinking('2026-07-01')).toBeCloseTo(3.53, 9)
  })

  it.each([
    ['lateRainOn', '2026-05-01', 'must be later'],
    ['lateRainOn', '2026-11-31', 'not a day on the calendar'],
    ['wetRain', '-1', 'from 0 to 500'],
    ['wetRain', 'much', 'is not a number'],
  ])('refuses a setting with %s “%s”', async (field, typed, words) => {
    const { ada, db } = await bookWithWeir()
    const page = await ada.fill('/water/water-settings/new', { ...RAIN, [field]: typed })
    expect(errorBeside(page, field)).toContain(words)
    expect(await db.selectFrom('waterSetting').selectAll().execute()).toEqual([])
  })
})

it('names the guide only beside its own litres', async () => {
  const { ada, weirPath } = await bookWithWeir()
  await count(ada, { peopleLitres: '18' })
  const working = await ada.open(`${weirPath}/reserve`)
  const row = (words: string) => working.html.querySelectorAll('tbody tr').find((one) => one.text.includes(words))!.text
  expect(row('people')).toContain('the group’s own figure')
  expect(row('cattle')).toContain('Nicholson 1985')
})

describe('what may be released in a week', () => {
  // Two weeks are left, and nothing leaves the sand before the week begins.
  const week = { weekStartOn: '2026-06-08', group: { seasonEndOn: '2026-06-21' }, takenM3ByWeir: new Map() }

  it('is the low figure of a guessed store less the reserve from the end of the week on, over the weeks left', async () => {
    const { ada, db } = await bookWithWeir({ valleyShape: 'rectangle' })
    await readLevel(ada, 'Fig', { depth: '60' })
    await count(ada)
    await ada.fill('/water/water-settings/new', { ...RAIN, lateRainOn: '2026-07-15' })
    const [row] = releasableStates(await waterStates(db, { on: '2026-06-04' }), week)
    // 10 cm below the crest less 2 cm of doubt: 225 x (1.88 / 2)^2 = 198.81; 30 days from 15 June keep 60.9.
    expect(row!.cannotSay).toEqual([])
    expect(row!.releasable!.availableM3).toBeCloseTo(198.81, 2)
    expect(row!.releasable!.reserveM3).toBeCloseTo(60.9, 6)
    expect(row!.releasable!.releasableM3).toBeCloseTo((198.81 - 60.9) / 2, 2)
  })

  it('cannot be said without reading, count or late date, and each is named', async () => {
    const { db } = await bookWithWeir()
    const [row] = releasableStates(await waterStates(db, { on: '2026-06-04' }), week)
    expect(row!.releasable).toBeNull()
    expect(row!.cannotSay).toEqual(['no-reading', 'no-users', 'no-late-rain'])
  })
})
