import { describe, expect, it } from 'vitest'
import { frontierOf } from '../../../domain/water/data/drinking-frontier.ts'
import { waterStates } from '../../../server/water/storage/state.ts'
import { answersOf, optionValue, type Visitor } from '../../support/visitor.ts'
import { bookWithWeir, errorBeside, readLevel, signInAgain, tableRows, workingValue } from '../support.ts'

const COUNT = { people: '100', pupils: '40', cattle: '10', donkeys: '5', goatsAndSheep: '20' }
/** 100 x 15 + 40 x 3 + 10 x 25 + 5 x 12 + 20 x 5 = 2030 litres by the usual litres of the guides. */
const DRINKING_M3 = 2.03
const RAIN = { lateRainOn: '2026-09-12', wetRain: '10', fromOn: '2026-06-01' } // 100 days after 4 June

async function count(ada: Visitor, fields: Record<string, string> = {}) {
  const form = await ada.open('/water/kept/count')
  return ada.send(form, { weirId: optionValue(form, 'weirId', 'Fig'), ...COUNT, ...fields })
}

describe('the count of people and animals', () => {
  it('offers the litres of the guides with their sources', async () => {
    const { ada } = await bookWithWeir()
    const form = await ada.open('/water/kept/count')
    const litres = (field: string) => form.html.querySelector(`#${field}`)?.getAttribute('value')
    expect(['peopleLitres', 'pupilLitres', 'cattleLitres', 'donkeyLitres', 'goatOrSheepLitres'].map(litres)).toEqual([
      '15',
      '3',
      '25',
      '12',
      '5',
    ])
    expect(form.words).toContain('Sphere handbook')
    expect(form.words).toContain('look it up or count at your own stand')
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

/** Backwards, day by day, from the floor 5 cm above an off-take at the bed: what must stand for so many days. */
function keptInBox(box: { fullM3: number; drunkM3: number; lossAtHalfM3: number; days: number }): number {
  let keptM3 = box.fullM3 * 0.025 ** 2
  for (let day = 0; day < box.days; day++) {
    // The morning before held as much, what was drunk, and what leaks at its own head.
    let morningM3 = keptM3
    for (let round = 0; round < 50; round++) {
      const heads = Math.sqrt(Math.min(morningM3, box.fullM3) / box.fullM3) / 0.5
      morningM3 = keptM3 + box.drunkM3 + box.lossAtHalfM3 * heads
    }
    keptM3 = morningM3
  }
  return keptM3
}

describe('the reserve', () => {
  it('is what they drink and the sand loses up to the late date of rain', async () => {
    const { ada, db, weirPath } = await bookWithWeir({ valleyShape: 'rectangle', loss: '1' })
    await readLevel(ada, 'Fig', { depth: '150' })
    await count(ada)
    await ada.fill('/water/settle/late-rain', RAIN)
    // The first centimetre below half of a box of 390 m3: 390 x (0.5^2 - 0.495^2) = 1.94 m3. A metre under the sand
    // nothing evaporates, so that all of it leaks and falls with the head, the root of the volume in a box.
    const lossM3 = 390 * (0.5 ** 2 - 0.495 ** 2)
    const kept = keptInBox({ fullM3: 390, drunkM3: DRINKING_M3, lossAtHalfM3: lossM3, days: 142 })
    const working = await ada.open(weirPath.replace('weirs', 'working/kept'))
    expect(workingValue(working, 'Drinking in a day')).toBe('2.03 m³')
    expect(workingValue(working, 'Loss in a day')).toBe('1.94 m³')
    expect(workingValue(working, 'the late date of rain and 6 weeks beyond')).toBe('142')
    expect(working.words).toContain(`Keep ${Math.round(kept)} m³`)
    const [state] = await waterStates(db, { on: '2026-06-04' })
    expect(Math.abs(state!.reserve!.reserveM3 - kept)).toBeLessThan(0.3)
    expect(tableRows(await ada.open('/water/kept'), 'Reserve on')[0]!.slice(1)).toEqual([
      '2.03',
      '1.94',
      String(Math.round(kept)),
    ])
    expect((await ada.open('/water')).words).toContain('less than the reserve')
  })

  it('counts an unknown loss as three parts in a thousand a day and says so', async () => {
    const { ada } = await bookWithWeir()
    await readLevel(ada, 'Fig', { depth: '150' })
    await count(ada)
    const page = await ada.fill('/water/settle/late-rain', RAIN)
    expect(page.path).toBe('/water/kept')
    expect(tableRows(page, 'Reserve on')[0]!.slice(1)).toEqual(['2.03', 'unknown', '348'])
    // To the full weir of 208 m3 in 89 days, 2.03 x (1.003^89 - 1) / 0.003; then 53 days of 2.03 + 0.62 m3.
    expect(page.words).toContain('loss without pumping is not known. Until it is measured, 0.3 per cent')
    expect((await ada.open('/water')).words).toContain(
      'loss without pumping is not known. Until it is measured, 0.3 per cent',
    )
  })

  it('falls as it is drunk', async () => {
    const { ada, setNow, weirPath } = await bookWithWeir()
    await count(ada)
    await ada.fill('/water/settle/late-rain', RAIN)
    const lineAt = async () =>
      tableRows(await ada.open(`${weirPath}/board`), 'Every 10 cm').findIndex(([, level]) =>
        level!.endsWith('Below this line for drinking only'),
      )
    // Even the full weir, 208 m3, is less than is kept on 4 June.
    expect(await lineAt()).toBe(0)
    // 20 days before the late date of rain and 42 beyond: 2.03 x (1 / 0.997^62 - 1) / 0.003.
    setNow('2026-08-23T05:00:00Z')
    await signInAgain(ada)
    expect(tableRows(await ada.open('/water/kept'), 'Reserve on')[0]!.at(-1)).toBe('139')
    // 139 of 208 m3 stand 2 m x 0.668^0.4 = 1.70 m above the bed: the row below, at 1.7 m, holds 138.6.
    expect(await lineAt()).toBe(2)
    setNow('2026-09-20T05:00:00Z')
    await signInAgain(ada)
    expect((await ada.open('/water/kept')).words).toContain('late date of rain is past')
  })

  it('cannot be said while nobody counted or the late date is not set', async () => {
    const { ada, weirPath } = await bookWithWeir()
    const page = await ada.open('/water/kept')
    expect(page.words).toContain('The late date of rain is not set')
    expect(page.words).toContain('Cannot say what weir 1 must keep. Nobody has counted')
    expect((await ada.open(weirPath.replace('weirs', 'working/kept'))).words).toContain(
      'plan nothing from this weir but drinking water',
    )
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
    const page = await ada.fill('/water/settle/late-rain', { ...RAIN, [field]: typed })
    expect(errorBeside(page, field)).toContain(words)
    expect(await db.selectFrom('waterSetting').selectAll().execute()).toEqual([])
  })
})

it('names the guide only beside its own litres', async () => {
  const { ada, weirPath } = await bookWithWeir()
  await count(ada, { peopleLitres: '18' })
  const working = await ada.open(weirPath.replace('weirs', 'working/kept'))
  const row = (words: string) => working.html.querySelectorAll('tbody tr').find((one) => one.text.includes(words))!.text
  expect(row('people')).toContain('the group’s own figure')
  expect(row('cattle')).toContain('Nicholson 1985')
})

describe('how careful a group is with its drinking water', () => {
  const CAUTION = { rememberedWeeks: '8', elsewhere: 'cannot', fromOn: '2026-06-04' }

  it('is said in plain words, and the reserve follows', async () => {
    const { ada, setNow } = await bookWithWeir()
    await count(ada)
    const before = await ada.fill('/water/settle/late-rain', RAIN)
    expect(before.words).toContain('Nobody has said how late the rain once came')
    // The weir is only guessed: six weeks, where four would be kept.
    expect(before.words).toContain('Weir 1 is only guessed so far: 6 weeks there.')
    const after = await ada.fill('/water/settle/drinking-caution', CAUTION)
    expect(after.path).toBe('/water/kept')
    expect(after.words).toContain('drinking water for 8 more weeks is kept')
    expect(after.words).toContain('we cannot fetch our drinking water elsewhere')
    const can = await ada.fill('/water/settle/drinking-caution', {
      ...CAUTION,
      elsewhere: 'three-weeks',
      fromOn: '2026-07-01',
    })
    expect(can.words).toContain('drinking water for 8 more weeks is kept') // Until July the older word holds.
    setNow('2026-07-02T05:00:00Z')
    await signInAgain(ada)
    expect((await ada.open('/water/kept')).words).toContain('drinking water for 5 more weeks is kept')
  })

  it('is shown with what each choice came to in simulated seasons, the careful one as the default', async () => {
    const { ada } = await bookWithWeir()
    const page = await ada.open('/water/settle/drinking-caution')
    expect(answersOf(page, 'elsewhere').find(({ holds }) => holds)?.value).toBe('cannot')
    const figures = (weeks: number) => frontierOf(weeks).dryIn100
    const told = page.html.querySelectorAll('ul.notes li').map((one) => one.text)
    expect(told[0]).toMatch(new RegExp(`4 weeks of drinking water kept .* In ${figures(4)} of 100`))
    // Few go without where the rain comes in time, many where it is six weeks late: what an average of both would hide.
    const { onTimeIn100, sixWeeksLateIn100 } = frontierOf(4)
    expect(told[0]).toContain(
      `by the late date: ${onTimeIn100} of 100; six weeks late or later: ${sixWeeksLateIn100} of 100`,
    )
    expect(sixWeeksLateIn100).toBeGreaterThan(5 * onTimeIn100)
    expect(told[1]).toMatch(new RegExp(`1 week kept\\. In ${figures(1)} of 100`))
    await count(ada)
    await ada.fill('/water/settle/late-rain', RAIN)
    await ada.fill('/water/settle/drinking-caution', CAUTION)
    const after = await ada.open('/water/settle/drinking-caution')
    expect(after.words).toContain(`8 weeks of drinking water kept beyond the late date. In ${figures(8)} of 100`)
  })

  it.each([
    ['rememberedWeeks', '-1', 'from 0 to 26'],
    ['rememberedWeeks', 'long', 'is not a number'],
    ['elsewhere', 'perhaps', 'Choose one'],
    ['fromOn', '2026-02-30', 'not a day on the calendar'],
  ])('refuses %s “%s” beside the field and writes nothing', async (field, typed, words) => {
    const { ada, db } = await bookWithWeir()
    const page = await ada.fill('/water/settle/drinking-caution', { ...CAUTION, [field]: typed })
    expect(errorBeside(page, field)).toContain(words)
    expect(await db.selectFrom('drinkingCaution').selectAll().execute()).toEqual([])
  })
})
