import { describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { setMonthTable } from '../../server/crops/setting/store.ts'
import { startedBook } from '../support/book.ts'
import type { Seen, Visitor } from '../support/visitor.ts'
import { bookWithWeir } from '../water/support.ts'
import { onPlot, shown, withPen } from './farm.ts'

const TODAY = '2026-06-04'
const beside = (page: Seen, field: string) => page.html.querySelector(`#${field}-error`)?.text ?? ''

/**
 * A wedge of coarse sand between upright walls, 2 m high, 15 m wide, on a bed of 2 per cent, full to the crest; the off-take 0.4 m
 * above the bed; 30 people at 20 litres up to 15 October; a month table of 5 mm a day; 600 m2 under drip.
 */
async function valley({ level = true } = {}) {
  const book = await startedBook(`${TODAY}T05:00:00Z`)
  const { ada } = book
  const plotId = await onPlot(book.db, { areaM2: 600 })
  const weir = await ada.fill('/water/weirs/new', {
    ...{
      number: '1',
      name: 'Fig',
      distance: '0',
      crestLevel: '100',
      crestHeight: '2',
      crestWidth: '15',
      bedSlope: '2',
    },
    ...{ valleyShape: 'rectangle', sandType: 'coarse-sand', offTakeAboveBed: '0.4', markAboveCrest: '0.5' },
    fromOn: '2026-05-04',
  })
  const weirId = weir.path.split('/')[3]!
  await ada.fill('/water/kept/count', {
    weirId,
    people: '30',
    peopleLitres: '20',
    ...(await others(ada)),
    fromOn: '2026-05-04',
  })
  await ada.fill('/water/settle/late-rain', { lateRainOn: '2026-10-15', wetRain: '10', fromOn: '2026-05-04' })
  if (level) await readLevel(ada, weirId, '50')
  await withPen(book.db, (pen) =>
    setMonthTable(pen, { fromOn: '2026-01-01', words: 'For the test.', etoMmPerDay: Array(12).fill(5) }),
  )
  return { ...book, plotId, weirId }
}

/** Everything else that drinks, none of it. */
async function others(ada: Visitor): Promise<Record<string, string>> {
  const form = await ada.open('/water/kept/count')
  const names = form.html.querySelectorAll('main form input').map((input) => input.getAttribute('name')!)
  return Object.fromEntries(names.filter((name) => !/^_|people|fromOn|Litres/.test(name)).map((name) => [name, '0']))
}

async function readLevel(ada: Visitor, weirId: string, depth: string, readOn = TODAY) {
  const pumpOffOn = addDays(readOn, -1)
  const page = await ada.fill('/water/levels/new', {
    ...{ weirId, readOn, readAt: '05:30', depth, pumpOffOn, pumpOffAt: '18:00' },
  })
  expect(page.status).toBe(200)
}

const declare = (ada: Visitor, plotId: string, area: string, change: Record<string, string> = {}) =>
  ada.fill('/crops/new?as=beforehand', { plotId, cropKey: 'tomato', area, sownOn: '2026-06-10', ...change })

/**
 * By hand. Need of a tomato (FAO-56, Tables 11 and 12, equation 66): Kc sums to 18 + 35.275 + 46 + 24.2 = 123.475 days, x 5 mm
 * = 617 mm; a bed of 0.2 m of sandy loam, half of it under drip, drinks 13 mm more (at most 0.2 x 150 x 0.67 = 20.1) on the day
 * of sowing: / 0.85 = 742 litres a m2; 15 and 30 per cent of the use out, and drip keeps 75 to 90.
 */
const USE_MM = 123.475 * 5
const NEED_MM = (USE_MM + 13) / 0.85
const NEED_ERROR_MM = Math.hypot(USE_MM * Math.hypot(0.15, 0.3), 20.1 - 13)
const NEED_HIGH_MM = NEED_MM + Math.hypot(NEED_ERROR_MM / 0.85, (USE_MM + 13) / 0.75 - NEED_MM)

/** Of a day counted from sowing, 1 first: 30 days at 0.6, 40 rising to 1.15, 40 there, 25 falling to 0.8. */
function kcOn(day: number): number {
  if (day < 1 || day > 135) return 0
  if (day <= 30) return 0.6
  if (day <= 70) return 0.6 + (0.55 * (day - 30)) / 40
  return day <= 110 ? 1.15 : 1.15 - (0.35 * (day - 110)) / 25
}

/**
 * The ground that the wedge carries, m2: 133 days to 15 October, six weeks of drinking beyond while it is guessed, 0.003 of the
 * water lost a day, and 5 cm above the off-take left: 1500 m3 of sand x 0.225 squared x the yield.
 */
function carriedM2({ storedM3, specificYield, drunkM3, needPart }: Record<string, number>): number {
  const lasts = (areaM2: number) => {
    let m3 = storedM3!
    for (let day = 0; day < 133 + 42; day++) {
      let weekMm = 0
      for (let of = 0; of < 7; of++) {
        const sown = 7 * Math.floor(day / 7) + of - 5
        weekMm += (kcOn(sown) * 5 + (sown === 1 ? 13 : 0)) / 0.85
      }
      const cropsM3 = day < 133 ? (areaM2 * needPart! * weekMm) / 7000 : 0
      m3 -= 0.003 * m3 + drunkM3! + cropsM3
    }
    return m3 >= 1500 * 0.225 ** 2 * specificYield!
  }
  let [lower, upper] = [0, 2000]
  while (upper - lower > 0.01) {
    const middle = (lower + upper) / 2
    if (lasts(middle)) lower = middle
    else upper = middle
  }
  return lower
}

/** Likely 27 per cent of 1500 m3 of sand. */
const LIKELY_M2 = carriedM2({ storedM3: 405, specificYield: 0.27, drunkM3: 0.6, needPart: 1 })
/**
 * All doubts are above 30 per cent, so: 2 cm less water, a tenth more drunk, the high need, and of sand known by a tape alone
 * 0.4699 times the likely: half for the shape, 20 per cent for 27 of the yield (Johnson 1967), √(ln² 2 + ln² 0.741) = 0.7553.
 */
const FIRST_M2 = carriedM2({
  storedM3: 405 * 0.99 ** 2 * Math.exp(-0.7553),
  specificYield: 0.27 * Math.exp(-0.7553),
  drunkM3: 0.66,
  needPart: NEED_HIGH_MM / NEED_MM,
})
/** Said in full tens from a hundred on. */
function plain(areaM2: number): number {
  return areaM2 >= 100 ? Math.floor(areaM2 / 10) * 10 : Math.floor(areaM2)
}

describe('what may be planted', () => {
  it('agrees with the ground worked out by hand: a first tranche now and more after a dated second look', async () => {
    const { ada, plotId } = await valley()
    const page = await declare(ada, plotId, '150')
    expect(page.path).toBe('/crops/planting')
    expect(page.words).toContain(`${plain(FIRST_M2)} m² now, on the cautious side`)
    expect(page.words).toContain(`Up to ${plain(LIKELY_M2 - FIRST_M2)} m² more, if the levels of`)
    expect(page.words).toContain(shown('2026-08-16'))
    expect(page.words).toContain(`${plain(FIRST_M2)} m² for each of 1 shares`)
    const working = await ada.open('/crops/working/planting')
    const likely = `${Math.round(FIRST_M2)} m² on the cautious side, ${Math.round(LIKELY_M2)} m² likely`
    expect(working.html.querySelector('.lead')!.text).toContain(likely)
    expect(working.words).toContain('likely 389')
    expect(working.words).toContain('150 m² × 630 mm')
    expect(working.words).toContain('low water divided by the high need')
  })

  it('parts the first planting by shares, and says who declared more than the own part', async () => {
    const { ada, db, plotId } = await valley()
    const wide = await onPlot(db, { number: 2, name: 'Wide', areaM2: 600, shares: 3 })
    await declare(ada, plotId, '10')
    const page = await declare(ada, wide, '11')
    const rows = page.html.querySelectorAll('tbody tr').map((row) => row.text.replace(/\s+/g, ' '))
    const of = (name: string) => rows.find((row) => row.includes(name))!
    expect(of('Ford plot')).toContain(` 10 ${plain(FIRST_M2 / 4)} more than its part`)
    expect(of('Wide')).toContain(` 11 ${plain((3 * FIRST_M2) / 4)} 600`)
  })

  it('says what is over the ceiling and does not refuse it', async () => {
    const { ada, plotId, db } = await valley()
    const page = await declare(ada, plotId, (FIRST_M2 * 1.1).toFixed(1))
    expect(page.status).toBe(200)
    expect(page.words).toContain('10% over the limit')
    expect(page.words).toContain('Nothing is refused')
    const [plan] = await db.selectFrom('cropPlan').selectAll().execute()
    expect(await db.selectFrom('cropTranche').selectAll().execute()).toEqual([{ entryId: plan!.entryId, tranche: 1 }])
  })

  it('keeps the second tranche out of what is held against the first', async () => {
    const { ada, plotId } = await valley()
    await declare(ada, plotId, '150')
    const page = await declare(ada, plotId, '150', { tranche: '2' })
    expect(page.words).toContain('150 m² are declared with the first planting')
    expect(page.words).toMatch(/150 m², sown 10 Jun 2026, second planting/)
  })

  it('asks what the water would carry of one crop, before anything is declared', async () => {
    const { ada } = await valley()
    const page = await ada.open('/crops/planting?cropKey=tomato&sownOn=2026-06-10&method=drip')
    expect(page.words).toContain('Nothing is declared yet')
    expect(page.words).toContain(`Beside what is declared: ${plain(FIRST_M2)} m² of Tomato`)
    expect(page.words).toContain(`likely ${Math.round(NEED_MM)}; the crop itself uses 617 mm, and its bed 13 mm`)
    expect((await ada.open('/crops/planting?cropKey=nonsense&sownOn=never&method=x')).words).toContain(
      'Cannot say for this crop',
    )
  })

  it('says the two looks and their days by usual vegetables, before anything is declared', async () => {
    const { ada } = await valley()
    const page = await ada.open('/crops/planting')
    expect(page.words).toContain('garden vegetables under drip, which ask for 0.4 to 0.8 m³')
    expect(page.words).toMatch(/\d m² now, on the cautious side/)
    expect(page.words).toContain('more, if the levels of')
    expect(page.words).toContain(shown('2026-08-16'))
    expect(page.words).toContain('With all the luck of water and weather')
  })

  it('is held by what the pumps lift, weir by weir', async () => {
    const { ada, plotId, weirId } = await valley()
    await ada.fill('/works/pumps/new', { number: '1', name: 'Small', weirId, usualFlow: '0.1', fromOn: '2026-05-04' })
    const page = await declare(ada, plotId, '100')
    expect(page.words).toContain('what its pumps lift in the thirstiest week')
  })

  it('leaves what is declared out of what may still be sown', async () => {
    const { ada, plotId } = await valley()
    await declare(ada, plotId, '10')
    const page = await ada.open('/crops/planting?cropKey=tomato&sownOn=2026-06-10&method=drip')
    // The same crop sown on the same day asks for its 10 m2 first, at the high need as well.
    expect(page.words).toContain(`Beside what is declared: ${plain(FIRST_M2 - 10)} m² of Tomato`)
    expect(page.words).toContain(`If only this crop stood: ${plain(FIRST_M2)} m²`)
  })

  it.each([
    ['a count of people', '/water/settle/late-rain', { lateRainOn: '2026-10-15', wetRain: '10', fromOn: '2026-06-01' }],
    ['the late date of rain', '/water/kept/count', { people: '30', pupils: '0', cattle: '0', donkeys: '0' }],
  ])('cannot say without %s, and opens', async (_, at, fields) => {
    const { ada, weirId } = await bookWithWeir()
    await readLevel(ada, weirId, '50')
    const form = await ada.open(at)
    await ada.send(form, at.endsWith('count') ? { ...fields, goatsAndSheep: '0', weirId } : fields)
    const page = await ada.open('/crops/planting')
    expect([page.status, page.words.includes('Cannot say how much may be planted')]).toEqual([200, true])
  })

  it('cannot say without a level, names what is missing and offers the safe action', async () => {
    const { ada } = await valley({ level: false })
    const page = await ada.open('/crops/planting')
    expect(page.words).toContain('Cannot say how much may be planted')
    expect(page.words).toContain('Weir 1 counts as nothing here. Nobody has written in a level reading')
    expect(page.words).not.toMatch(/\d m² now/)
  })

  it('leaves nothing to plant when the store is below the drinking water', async () => {
    const { ada, plotId, weirId } = await valley({ level: false })
    await readLevel(ada, weirId, '190')
    const page = await declare(ada, plotId, '100')
    expect(page.words).toContain('Nothing is left for crops')
    expect(page.words).toContain('the cautious limit is nothing')
  })

  it('lets the committee settle the second look, within the season', async () => {
    const { ada, plotId } = await valley()
    const wrong = await ada.fill('/crops/settle/second-look', { lookOn: '2027-06-01' })
    expect(wrong.status).toBe(422)
    expect(beside(wrong, 'lookOn')).toContain('outside the season')
    await ada.fill('/crops/settle/second-look', { lookOn: '2026-07-20' })
    const page = await declare(ada, plotId, '150')
    expect(page.words).toContain(`if the levels of ${shown('2026-07-20')} show the water`)
    expect(page.words).toContain('The group settled the day')
  })

  it('promises nothing of a second look on a day that is over: it is due, or the levels were read since', async () => {
    const { ada, weirId, setNow } = await valley()
    const words = async () => (await ada.open('/crops/planting')).words
    setNow('2026-08-20T12:00:00Z')
    await ada.fill('/sign-in', { signInName: 'ada', password: 'a long enough word' })
    expect(await words()).toContain(`Their day, ${shown('2026-08-16')}, has come: read them`)
    const over = await ada.fill('/crops/settle/second-look', { lookOn: '2026-07-20' })
    expect(beside(over, 'lookOn')).toContain('This day is over')
    await readLevel(ada, weirId, '120', '2026-08-18')
    const read = await words()
    expect(read).toContain(`The second planting was decided on ${shown('2026-08-16')}`)
    expect(read).not.toContain('if the levels show')
    expect(read).not.toContain('if the levels of')
  })

  it.each([
    ['area', { area: '700' }, 'only 600 m²'],
    ['area', { area: 'much' }, 'not a number'],
    ['tranche', { tranche: '3' }, 'Choose one from the list'],
    ['sownOn', { sownOn: '' }, 'fill this in'],
  ])('says beside %s what is wrong with %j, and writes nothing', async (field, change, words) => {
    const { ada, plotId, db } = await valley()
    const page = await declare(ada, plotId, '150', change)
    expect(page.status).toBe(422)
    expect(beside(page, field)).toContain(words)
    expect(await db.selectFrom('cropPlan').selectAll().execute()).toEqual([])
  })
})

describe('a plot by tape', () => {
  const SIDES = { tapedOn: TODAY, sideA: '20', sideB: '30', sideC: '20', sideD: '30' }

  it('doubts the right angle of 20 by 30 m with a diagonal of 34, and gives the area of the two triangles', async () => {
    const { ada, db } = await startedBook()
    const plotId = await onPlot(db, { areaM2: 600 })
    const page = await ada.fill('/crops/tape', { plotId, ...SIDES, diagonal: '34' })
    // Two triangles of 20, 30 and 34 m: s = 42, the root of 42 x 22 x 12 x 8 = 297.8; the corner has cos 0.12, 83 degrees.
    expect(page.words).toContain('About 596 m²')
    expect(page.words).toContain('about 83 degrees, not square')
    expect(page.words).toContain('would give 600 m²')
    expect((await ada.open('/crops/planting')).words).toContain('corner not square')
  })

  it('takes 36.06 m as square, and says that sides alone tell little', async () => {
    const { ada, db } = await startedBook()
    const plotId = await onPlot(db, { areaM2: 600 })
    expect((await ada.fill('/crops/tape', { plotId, ...SIDES, diagonal: '36.06' })).words).toContain('it is square')
    expect((await ada.fill('/crops/tape', { plotId, ...SIDES })).words).toContain('Without a diagonal')
  })

  it('refuses tapes that cannot meet, beside the diagonal, with what was typed', async () => {
    const { ada, db } = await startedBook()
    const plotId = await onPlot(db, { areaM2: 600 })
    const page = await ada.fill('/crops/tape', { plotId, ...SIDES, diagonal: '51' })
    expect(page.status).toBe(422)
    expect(beside(page, 'diagonal')).toContain('cannot meet in a triangle')
    expect(page.html.querySelector('#sideB')?.getAttribute('value')).toBe('30')
    expect(await db.selectFrom('taping').selectAll().execute()).toEqual([])
  })
})

describe('the season at a glance', () => {
  it('shows before sowing that everything in one week is more than the pumps lift', async () => {
    const { ada, plotId, weirId } = await valley()
    await ada.fill('/works/pumps/new', { number: '1', name: 'Small', weirId, usualFlow: '0.3', fromOn: '2026-05-04' })
    await declare(ada, plotId, '600')
    const page = await ada.open('/crops/season')
    expect(page.words).toMatch(/weeks, the first that of .*, the crops want more than the pumps lift/)
    // At the peak: 7 days x 1.15 x 5 mm / 0.85 on 600 m2 are 28.4 m3.
    expect(page.words).toMatch(/Tomato takes 100% of about 28 m³/)
    expect(page.html.querySelectorAll('svg .week-over').length).toBeGreaterThan(5)
    expect(page.html.querySelectorAll('svg title')[0]!.text).toContain('Stages of all crops')
  })

  it('shows the stages, and cannot say the water without weather', async () => {
    const { ada, db } = await startedBook()
    expect((await ada.open('/crops/season')).words).toContain('No crop is written in yet')
    const plotId = await onPlot(db)
    await declare(ada, plotId, '100')
    const page = await ada.open('/crops/season')
    expect(page.words).toContain('the water of each week not')
    expect(page.words).toContain(shown('2026-07-10'))
  })
})

describe('the order in a cut', () => {
  it('puts seedlings before what ripens, and names no tonnes', async () => {
    const { ada, db } = await startedBook('2026-06-20T05:00:00Z')
    const plotId = await onPlot(db)
    await declare(ada, plotId, '100', { sownOn: '2026-02-15' })
    await declare(ada, plotId, '100', { sownOn: '2026-06-10', cropKey: 'cabbage' })
    const page = await ada.open('/crops?as=hurt')
    const rows = page.html.querySelectorAll('tbody tr').map((row) => row.text.replace(/\s+/g, ' '))
    expect(rows[0]).toMatch(/1 ?1 Ford plot.*Cabbage.*seedling/)
    expect(rows[1]).toMatch(/2 ?1 Ford plot.*Tomato.*ripens/)
    expect(page.words).not.toMatch(/tonne|kg|yield/)
  })
})
