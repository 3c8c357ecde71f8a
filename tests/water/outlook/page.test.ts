import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { fewPictures } from '../../../server/water/outlook/pages.ts'
import type { Seen, Visitor } from '../../support/visitor.ts'
import { BOX, bookOf640, PLAN } from '../sand/box-of-640.ts'
import { bookWithWeir, errorBeside, readLevel, signInAgain, tableRows, workingValue } from '../support.ts'

/** Daily rain of whole years, nothing but the storms named. */
function record(years: number[], storms: Record<string, number> = {}): string {
  const lines = ['day,rain']
  for (const year of years)
    for (let on = `${year}-01-01`; on <= `${year}-12-31`; on = addDays(on, 1)) lines.push(`${on},${storms[on] ?? 0}`)
  return lines.join('\n')
}

const paste = (ada: Visitor, rain: string) =>
  ada.fill('/crops/weather/list?as=old-rain', { source: 'School at the ford', order: 'year-first', rain })

/** Rain that fills the sand on the late date of the worked case and three times after it. */
function floods(year: number): Record<string, number> {
  return Object.fromEntries(['07-28', '08-20', '09-10', '10-01'].map((day) => [`${year}-${day}`, 300]))
}

const TEN = Array.from({ length: 10 }, (_, at) => 2001 + at)
const tenYears = record(TEN, Object.assign({}, ...TEN.map(floods)))

const sentence = (page: Seen, start: string) => {
  const at = page.words.indexOf(start)
  return at === -1 ? '' : page.words.slice(at, page.words.indexOf('.', at + start.length) + 1)
}

describe('the pictures of many weirs', () => {
  const weirs = (count: number) => Array.from({ length: count }, (_, at) => ({ weir: { number: at + 1 } }))
  const numbersOf = (shown: ReturnType<typeof fewPictures>, which: 'isOpen' | 'isThere') =>
    shown.filter((one) => one[which]).map(({ weir }) => weir.number)

  it('are all there up to six, the first or the asked one open; of more only that one is there', () => {
    const six = fewPictures({ query: { weir: '4' } }, weirs(6))
    expect([numbersOf(six, 'isOpen'), numbersOf(six, 'isThere')]).toEqual([[4], [1, 2, 3, 4, 5, 6]])
    const seven = fewPictures({ query: { weir: '4' } }, weirs(7))
    expect([numbersOf(seven, 'isOpen'), numbersOf(seven, 'isThere')]).toEqual([[4], [4]])
    for (const weir of [undefined, '', '8', 'x']) {
      const shown = fewPictures({ query: { weir } }, weirs(7))
      expect([shown.length, numbersOf(shown, 'isOpen'), numbersOf(shown, 'isThere')]).toEqual([7, [1], [1]])
    }
    expect(fewPictures({ query: {} }, [])).toEqual([])
  })
})

describe('the season ahead with few rain years', () => {
  it('shows the named years side by side and no percentage', async () => {
    const { ada, weirPath } = await bookOf640()
    await ada.fill(weirPath.replace('weirs', 'settle/plan'), { ...PLAN, rechargePerMm: '2' })
    await paste(ada, record([2003, 2004], { ...floods(2003), ...floods(2004), '2004-07-01': 30 }))
    const page = await ada.open('/water/lasts')
    // Dry: on day 30 211.3 stand where 217.7 are kept. With 30 mm beyond 10 mm at 2 m3 a mm, 40 m3 more: on day 34 196.3 and 197.2.
    expect(page.words).toContain('With the rain of 2003 it falls below the reserve line on 4 Jul 2026.')
    expect(page.words).toContain('With the rain of 2004 it falls below the reserve line on 8 Jul 2026.')
    // Tightest on the last morning before the floods, day 54, when 21 days ask for 98.2: 0.997^54 = 0.850, so that
    // (544.1 - 98.2) / 49.9 - 4.5 = 4.43 m3 a day; with 36.9 m3 more of the rain of July 5.17.
    expect(page.words).toContain('2003: 31 m³; 2004: 36 m³')
    expect(page.words).toContain('each of your 2 whole rain years')
    expect(page.words).not.toMatch(/\d%|of ten by|of 10 such/)
    const rows = tableRows(page, 'Water above the foot pipe of weir 1')
    expect(rows[0]).toEqual(['4 Jun 2026', '640', '640', '380'])
    expect(rows[4]).toEqual(['2 Jul 2026', '239', '279', '228']) // 238.7; 30 mm the day before give 40 more
    expect(page.html.querySelectorAll('figure.ahead > svg title')).toHaveLength(1)
    expect(page.html.querySelectorAll('figure.ahead > svg polyline')).toHaveLength(3)
  })

  it('says what is missing when there is no whole year, and which years were left out', async () => {
    const { ada } = await bookOf640()
    expect((await ada.open('/water/lasts')).words).toContain('holds no whole year of daily rain')
    const short = record([2003]).split('\n').slice(0, -8).join('\n') // eight days short of its end
    await paste(ada, short)
    const page = await ada.open('/water/lasts')
    expect(page.words).toContain('holds no whole year of daily rain')
    expect(workingValue(page, 'Year 2003 is left out')).toBe('8 days not read')
  })

  it('names a weir whose water is not known and leaves it out', async () => {
    const { ada } = await bookWithWeir(BOX)
    const page = await ada.open('/water/lasts')
    expect(page.words).toContain('Of no weir are sand, level, users and late date of rain all known')
    expect(page.words).toContain('Weir 1, Fig tree, is left out. ')
  })
})

describe('the season ahead with ten rain years', () => {
  it('tells chances, first days and a steady volume by the doubt of the sand', async () => {
    const { ada, weirPath } = await bookOf640()
    await ada.fill(weirPath.replace('weirs', 'settle/plan'), { ...PLAN, rechargePerMm: '2' })
    await paste(ada, tenYears)
    const page = await ada.open('/water/lasts')
    expect(page.words).toContain('made from 10 whole rain years')
    // With the shape in doubt too between 258, 640 and 1349 m3. With floods on day 54 the plan asks for (98.2 + 13 x 49.9) / 0.850
    // = 879 m3, of which 22 seasons of a hundred have as much: (1349 - 879)² / (2 x 709²); ten days later for more.
    const held = Number(/In (\d+)% of these seasons/.exec(page.words)?.[1])
    expect(held).toBeGreaterThan(15)
    expect(held).toBeLessThan(30)
    const half = /by (\d+) (Jun|Jul) 2026 in half of them/.exec(page.words.slice(page.words.indexOf('It falls below')))
    // Its middle is the likely 640 m3, which fall by 14.3 a day: on day 30, 4 July, 210 stand where 217 are kept.
    expect(['2 Jul', '3 Jul', '4 Jul', '5 Jul', '6 Jul']).toContain(`${half?.[1]} ${half?.[2]}`)
    // A tenth of its seasons are below 258 + 382 x √0.2 = 429 m3: with floods on day 54, to which 386 carry the drinking, 0.8 m3 a
    // day are over, 5.6 a week; ten days later none.
    const safe = Number(/holds in 9 of ten such seasons: (\d+) m³/.exec(page.words)?.[1])
    expect(safe).toBeGreaterThanOrEqual(1)
    expect(safe).toBeLessThanOrEqual(6)
    const first = tableRows(page, 'Water above the foot pipe of weir 1')[0]!
      .slice(1)
      .map((cell) => Number(cell.replace(',', '')))
    expect(first[0]).toBeLessThan(first[1]!)
    expect(first[1]).toBeLessThan(first[2]!)
    expect(page.html.querySelectorAll('figure.ahead > svg polygon')).toHaveLength(1)
    await ada.fill(weirPath.replace('weirs', 'settle/plan'), { ...PLAN, weeklyPlan: '0', rechargePerMm: '2' })
    // With floods on day 54 380 m3 carry the drinking, ten days later 437: 5 to 11 seasons of a hundred have less.
    expect((await ada.open('/water/lasts')).words).toMatch(/In (89|9[0-5])% of these seasons/)
  })

  it('gives the same answer for the same seed, and nearly the same for another', async () => {
    const { ada, weirPath } = await bookOf640()
    await ada.fill(weirPath.replace('weirs', 'settle/plan'), PLAN)
    await paste(ada, tenYears)
    const setting = { seasonsOfTen: '9', fromOn: '2026-06-01' }
    const rows = async (seed: string) => {
      const page = await ada.fill('/water/settle/how-sure', { ...setting, seed })
      return tableRows(page, 'Water above the foot pipe of weir 1')
    }
    const [one, two, again] = [await rows('1'), await rows('2'), await rows('1')]
    expect(again).toEqual(one)
    expect(two).not.toEqual(one)
  })

  it('promises no steady volume where the water is below the line already', async () => {
    const { ada, weirPath } = await bookOf640()
    await readLevel(ada, 'Fig', { depth: '130', readAt: '06:20' }) // 281 m3, at most 360 by the best of sands
    await ada.fill(weirPath.replace('weirs', 'settle/plan'), PLAN)
    await paste(ada, tenYears)
    expect(sentence(await ada.open('/water/lasts'), 'No steady weekly volume')).toContain('0 m³')
  })
})

describe('the recharge', () => {
  it('is fitted from rain and the rise of the level', async () => {
    const { ada, setNow } = await bookOf640({}, '150')
    await ada.fill('/crops/weather/new', { onDate: '2026-06-04', rainMm: '20' })
    setNow('2026-06-08T05:00:00Z')
    await signInAgain(ada)
    const later = { readOn: '2026-06-08', pumpOffOn: '2026-06-07', depth: '130' }
    await readLevel(ada, 'Fig', later)
    await paste(ada, record([2003]))
    const page = await ada.open('/water/lasts')
    // From 1.0 to 1.2 m: 780 x (1.44 - 1) / 4 = 85.8 m3 for 10 mm beyond the mark.
    expect(workingValue(page, 'Weir 1: stays in the sand')).toBe('8.58 m³ a mm')
    expect(page.words).toContain('Fitted from one wet stretch')
  })

  it('counts as nothing, and says so, as long as no rise was read', async () => {
    const { ada } = await bookOf640()
    await paste(ada, record([2003]))
    expect((await ada.open('/water/lasts')).words).toContain('its rain counts as nothing here')
  })
})

describe('a pasted record', () => {
  it.each([
    ['day,rain\n2003-01-01,4\n2003-13-01,4', 'Row 3: “2003-13-01” is not a day'],
    ['day,rain\n2003-01-01,4\n2003-01-01,5', 'Row 3: this day was already'],
    ['day,rain\n2003-01-01,-4', 'Row 2: “-4” is no rain'],
    ['day,rain\n2027-01-01,4', 'Row 2: this day is still to come'],
    ['rain\n4', 'Two columns are needed'],
    ['day,rain', 'no rows'],
    ['', 'Please fill this in'],
  ])('is refused whole when it reads %j', async (rain, words) => {
    const { ada, db } = await bookWithWeir()
    const page = await paste(ada, rain)
    expect(page.status).toBe(422)
    expect(errorBeside(page, 'rain')).toContain(words)
    expect(page.html.querySelector('#source')?.getAttribute('value')).toBe('School at the ford')
    expect(await db.selectFrom('rainRecord').selectAll().execute()).toEqual([])
  })

  it('counts no longer once it is struck out, with the reason in the book', async () => {
    const { ada, db } = await bookOf640()
    const one = await paste(ada, record([2003]))
    expect(tableRows(one, 'Years of the record')).toEqual([['2003', '0', '0']])
    expect(errorBeside(await ada.send(one, { reason: '' }), 'reason')).toContain('Please fill this in')
    const page = await ada.send(await ada.open(one.path), { reason: 'Gauge stood under a tree' })
    expect(page.path).toBe('/water/lasts')
    expect(page.words).toContain('holds no whole year of daily rain')
    const last = await db.selectFrom('entry').select('reason').orderBy('seq', 'desc').executeTakeFirst()
    expect(last?.reason).toBe('Gauge stood under a tree')
  })
})

it('a season is over for the days ahead on its last day, and not on the day before', async () => {
  const { ada, setNow } = await bookOf640()
  const words = async (day: string) => {
    setNow(`2026-10-${day}T05:00:00Z`)
    await signInAgain(ada)
    return (await ada.open('/water/lasts')).words
  }
  expect(await words('30')).not.toContain('The season is over.')
  expect(await words('31')).toContain('The season is over.')
})
