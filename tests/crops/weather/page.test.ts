import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { verifyBook } from '../../../server/book/verify.ts'
import { startedBook, type TestBook } from '../../support/book.ts'
import type { Seen, Visitor } from '../../support/visitor.ts'
import { shown } from '../farm.ts'
import { SEATTLE_COLUMNS, SEATTLE_FILE } from './seattle.ts'

const DAY = { onDate: '2026-06-03', tmaxC: '30,5', tminC: '16', rainMm: '0' }
const written = (db: TestBook['db']) => db.selectFrom('weatherDay').selectAll().execute()
const beside = (page: Seen, field: string) => page.html.querySelector(`#${field}-error`)?.text ?? ''

describe('one day of weather', () => {
  it('is taken with a decimal comma and shows its evapotranspiration, what was measured and what was estimated', async () => {
    const { ada } = await startedBook()
    const page = await ada.fill('/crops/weather/new', DAY)
    expect(page.path).toBe('/crops/lines/weather/2026-06-03')
    expect(page.words).toContain('Hargreaves-Samani')
    expect(page.words).toMatch(/Highest temperature, °C ?30\.5 ?measured/)
    expect(page.words).toMatch(/Wind ?estimated/)
  })

  it('goes by Penman-Monteith as soon as more than temperatures is read', async () => {
    const { ada } = await startedBook()
    const page = await ada.fill('/crops/weather/new', {
      ...DAY,
      wind: '2.5',
      rhMaxPct: '90',
      rhMinPct: '40',
      sunHours: '8',
    })
    expect(page.words).toMatch(/Reference evapotranspiration \d(\.\d)? mm, by FAO-56 Penman-Monteith/)
    expect(page.words).not.toContain('Reading what was estimated')
  })

  it('reads wind in km/h as the same wind, and a wet and a dry bulb as humidity', async () => {
    const { ada, db } = await startedBook()
    const bulbs = { dryBulbC: '25.6', wetBulbC: '19.5', psychrometer: 'whirled' }
    const page = await ada.fill('/crops/weather/new', { ...DAY, ...bulbs, wind: '9', windUnit: 'km-per-h' })
    expect(page.words).toContain('FAO-56 Penman-Monteith')
    expect(page.words).toMatch(/Dry bulb, °C ?25\.6 ?measured/)
    expect(page.words).not.toMatch(/(Wind|Humidity) ?estimated/)
    const [day] = await written(db)
    expect(day!.windMPerS).toBe(2.5)
    expect(await db.selectFrom('airReading').selectAll().execute()).toMatchObject([
      { entryId: day!.entryId, dryBulbC: 25.6, wetBulbC: 19.5, psychrometer: 'whirled', dewPointC: null },
    ])
    expect((await verifyBook(db)).brokenAt).toBeNull()
    const again = await ada.open('/crops/weather/new?on=2026-06-03')
    expect(again.html.querySelector('#wetBulbC')?.getAttribute('value')).toBe('19.5')
    expect(again.html.querySelector('#wind')?.getAttribute('value')).toBe('2.5')
  })

  it('asks back about a gale, and takes it in the other unit or with a reason', async () => {
    const { ada, db } = await startedBook()
    const wind = (fields: Record<string, string>) => ada.fill('/crops/weather/new', { ...DAY, wind: '14', ...fields })
    const asked = await wind({})
    expect(asked.status).toBe(422)
    expect(asked.html.querySelector('#wind-error')?.text).toContain('Was it read in km/h?')
    expect((await wind({ reason: 'It blew roofs off.' })).words).toContain('That is a gale all day long')
    await wind({ windUnit: 'km-per-h', reason: 'It was km/h.' })
    expect((await written(db)).at(-1)!.windMPerS).toBe(3.89)
  })

  it('asks about a heat that is rare, and takes it with a cross or as it was meant', async () => {
    const { ada, db } = await startedBook()
    const asked = await ada.fill('/crops/weather/new', { ...DAY, tmaxC: '50,1' })
    expect([asked.status, asked.words]).toEqual([422, expect.stringContaining('50.1 °C? More than 50 is rare;')])
    expect(await written(db)).toEqual([])
    await ada.send(asked, { _sure: 'tmaxC:50,1' })
    await ada.fill('/crops/weather/new', { ...DAY, onDate: '2026-06-02', tmaxC: '50' })
    expect((await written(db)).map(({ tmaxC }) => tmaxC)).toEqual([50.1, 50])
  })

  it('fits the local factor from days that have wind and humidity, shows its working and reckons with it', async () => {
    const { ada } = await startedBook()
    const rows = Array.from({ length: 12 }, (_, day) => `2026-05-${10 + day},30,16,0,20,10.8`)
    const pasted = ['date,max,min,rain,dew,wind', ...rows].join('\n')
    await upload(ada, { pasted, dewPointC: 'dew', windMPerS: 'wind', windUnit: 'km-per-h' })
    const working = await ada.open('/crops/working/demand')
    const said = /By them the demand was ([\d.]+) mm, by temperatures alone ([\d.]+) mm: the factor is (\d+\.\d+)/
    const [, better, alone, factor] = said.exec(working.words)!.map(Number)
    expect(Math.abs(better! / alone! - factor!)).toBeLessThan(0.006)
    expect(better).toBeLessThan(alone!) // damp air drinks less than its temperatures say
    const plain = await ada.fill('/crops/weather/new', DAY)
    const etoOf = (words: string) => Number(/Reference evapotranspiration ([\d.]+) mm/.exec(words)![1])
    const form = await ada.open('/crops/settle/demand')
    expect(Number(form.html.querySelector('#factor')?.getAttribute('value'))).toBe(factor)
    expect((await ada.fill('/crops/settle/demand', { dryAir: '0' })).words).toContain(`multiplied by ${factor}`)
    const corrected = await ada.open(plain.path)
    expect(Math.abs(etoOf(corrected.words) - factor! * etoOf(plain.words))).toBeLessThan(0.12)
  })

  it('takes the dew point below the night where the group says that the air is dry', async () => {
    const { ada } = await startedBook()
    const { path, words } = await ada.fill('/crops/weather/new', { ...DAY, wind: '3' })
    const etoOf = (said: string) => Number(/Reference evapotranspiration ([\d.]+) mm/.exec(said)![1])
    await ada.fill('/crops/settle/demand', { dryAir: '3' })
    const dry = await ada.open(path)
    expect(dry.words).toContain('3 degrees below the lowest temperature')
    expect(etoOf(dry.words)).toBeGreaterThan(etoOf(words))
  })

  it('accepts 70 mm of rain and asks to look once more', async () => {
    const { ada, db } = await startedBook()
    const page = await ada.fill('/crops/weather/new', { ...DAY, rainMm: '70' })
    expect(page.words).toContain('a great deal of rain')
    expect((await written(db))[0]!.rainMm).toBe(70)
    expect((await ada.open('/crops/weather')).words).toContain('Heavy rain')
  })

  it.each([
    ['tmaxC', { tmaxC: '47' }, 'very hot'],
    ['tminC', { tminC: '-1' }, 'freezing'],
    ['tminC', { tminC: '5' }, '25 degrees or more apart'],
    ['tminC', { tminC: '29.5' }, 'less than 2 degrees apart'],
  ])('accepts an odd %s and explains', async (_field, change, words) => {
    const { ada } = await startedBook()
    const page = await ada.fill('/crops/weather/new', { ...DAY, ...change })
    expect(page.status).toBe(200)
    expect(page.words).toContain(words)
  })

  it.each([
    ['tminC', { tminC: '31' }, 'Were the two swapped?'],
    ['tminC', { tminC: '30.5' }, 'read twice'],
    ['dewPointC', { dewPointC: '31' }, 'above the highest temperature'],
    ['vapourPressureKpa', { vapourPressureKpa: '9' }, 'holds at most 4.37 kPa'],
    ['wetBulbC', { dryBulbC: '20', wetBulbC: '22' }, 'The wet bulb is above the dry one'],
    ['wetBulbC', { dryBulbC: '20' }, 'belong together'],
    ['tmaxC', { tmaxC: 'hot' }, '“hot” is not a number'],
    ['tmaxC', { tmaxC: '305' }, 'from -60 to 60'],
    ['rainMm', { rainMm: '-1' }, 'from 0 to 2,000'],
    ['rhMinPct', { rhMaxPct: '40', rhMinPct: '60' }, 'Were the two swapped?'],
    ['sunHours', { sunHours: '17' }, 'hours long here'],
    ['radiationMjM2', { radiationMjM2: '49' }, 'more than the sun sends'],
    ['onDate', { onDate: '2026-06-05' }, 'still to come'],
    ['onDate', { onDate: '2026-02-30' }, 'not a day on the calendar'],
    ['tmaxC', { tmaxC: '', tminC: '', rainMm: '' }, 'at least one reading'],
  ])('says beside %s what is wrong with %j, and writes nothing', async (field, change, words) => {
    const { ada, db } = await startedBook()
    const page = await ada.fill('/crops/weather/new', { ...DAY, ...change })
    expect(page.status).toBe(422)
    expect(beside(page, field)).toContain(words)
    for (const [name, value] of Object.entries({ ...DAY, ...change })) {
      expect(page.html.querySelector(`#${name}`)?.getAttribute('value')).toBe(value)
    }
    expect(await written(db)).toEqual([])
  })

  it('is corrected only with a reason, and both readings stay visible', async () => {
    const { ada, db } = await startedBook()
    await ada.fill('/crops/weather/new', DAY)
    const refused = await ada.fill('/crops/weather/new', { ...DAY, tmaxC: '33' })
    expect(beside(refused, 'reason')).toContain('written already')
    const page = await ada.send(refused, { reason: 'Misread the scale' })
    expect(page.words).toContain('Reason: Misread the scale')
    expect(page.words).toMatch(/highest 33.*highest 30\.5.*\(corrected later\)/)
    const entries = await db
      .selectFrom('entry')
      .select(['id', 'correctsId'])
      .where('kind', '=', 'weather-day')
      .orderBy('seq')
      .execute()
    expect(entries[1]!.correctsId).toBe(entries[0]!.id)
  })

  it('starts a correction from the figures that stand', async () => {
    const { ada } = await startedBook()
    await ada.fill('/crops/weather/new', DAY)
    const form = await ada.open('/crops/weather/new?on=2026-06-03')
    expect(form.html.querySelector('#tmaxC')?.getAttribute('value')).toBe('30.5')
    expect(form.html.querySelector('#rainMm')?.getAttribute('value')).toBe('0')
  })

  it('lists the gaps of the month, by what is missing', async () => {
    const { ada } = await startedBook('2026-06-10T05:00:00Z')
    for (const [onDate, change] of [
      ['2026-06-01', {}],
      ['2026-06-02', { tminC: '' }],
      ['2026-06-05', { rainMm: '' }],
    ] as const) {
      await ada.fill('/crops/weather/new', { ...DAY, onDate, ...change })
    }
    const { words } = await ada.open('/crops/weather')
    expect(words).toContain(`${shown('2026-06-03')} to ${shown('2026-06-04')}: nothing written for 2 days.`)
    expect(words).toContain(`${shown('2026-06-06')} to ${shown('2026-06-10')}: nothing written for 5 days.`)
    expect(words).toContain(`${shown('2026-06-02')}: a temperature is missing`)
    expect(words).toContain(`${shown('2026-06-05')}: no rain written`)
  })

  it.each(['/crops/lines/weather/2026-06-02', '/crops/lines/weather/nonsense', '/crops/lines/weather/2026-02-30'])(
    'has no page %s',
    async (path) => {
      const { ada } = await startedBook()
      expect((await ada.open(path)).status).toBe(404)
    },
  )

  it.each(['', '2026-13', '2026-6', 'x', '9999-12', '0000-01'])('opens the month “%s” all the same', async (month) => {
    const { ada } = await startedBook()
    expect((await ada.open(`/crops/weather?month=${month}`)).status).toBe(200)
  })
})

const OWN_LIST = 'date,max,min,rain\n2026-06-01,30,16,0\n2026-06-02,31.5,15,12.5\n'

function upload(ada: Visitor, fields: Record<string, string>) {
  return ada.fill('/crops/weather/list', fields)
}

describe('a list of days', () => {
  it('is taken with its own headings: the daily records of a year-round station', async () => {
    const { ada, db } = await startedBook()
    const page = await upload(ada, { list: readFileSync(SEATTLE_FILE, 'utf8'), ...SEATTLE_COLUMNS })
    expect(page.path).toBe('/crops/weather?month=2015-12')
    expect(page.words).toContain(`The book runs from ${shown('2012-01-01')} to ${shown('2015-12-31')}.`)
    const days = await written(db)
    expect(days).toHaveLength(1461)
    expect(days[1]).toMatchObject({
      onDate: '2012-01-02',
      tmaxC: 10.6,
      tminC: 2.8,
      rainMm: 10.9,
      windMPerS: null,
    })
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })

  it('is taken pasted, with semicolons, decimal commas, the day first and empty cells', async () => {
    const { ada, db } = await startedBook()
    const pasted = 'Datum;Höchst;Tiefst;Regen\n1/6/2026;30,5;16;\n2/6/2026;31;15,25;12,5\n'
    await upload(ada, {
      pasted,
      dateOrder: 'day-first',
      onDate: 'datum',
      tmaxC: 'Höchst',
      tminC: 'Tiefst',
      rainMm: 'Regen',
    })
    expect(await written(db)).toMatchObject([
      { onDate: '2026-06-01', tmaxC: 30.5, rainMm: null },
      { onDate: '2026-06-02', tminC: 15.25, rainMm: 12.5 },
    ])
  })

  it('asks back where a day of it is a gale, and shows whatever stands for the humidity', async () => {
    const { ada, db } = await startedBook()
    const pasted = 'date,max,min,rain,wind,dew\n2026-06-01,30,16,0,3,15\n2026-06-02,31,15,0,14,\n'
    const windy = (more: Record<string, string> = {}) =>
      upload(ada, { pasted, windMPerS: 'wind', dewPointC: 'dew', ...more })
    const asked = await windy()
    expect(asked.status).toBe(422)
    expect(beside(asked, 'pasted')).toContain('Row 3, “wind”: a mean of 14.0 m/s is a gale all day long')
    expect(await written(db)).toHaveLength(0)
    const taken = await windy({ galesTrue: 'yes' })
    expect(taken.words).toContain('dew point 15 °C')
    expect((await written(db)).map((day) => day.windMPerS)).toEqual([3, 14])
    const bulbs = { ...DAY, onDate: '2026-06-03', dryBulbC: '28', wetBulbC: '21', psychrometer: 'hung' }
    await ada.fill('/crops/weather/new', bulbs)
    expect((await ada.open('/crops/weather?month=2026-06')).words).toContain('28 dry, 21 wet °C')
    expect((await windy({ windUnit: 'km-per-h' })).status).toBe(200)
  })

  it('replaces days that stand, keeps readings that it does not have, and leaves equal days alone', async () => {
    const { ada, db } = await startedBook()
    await ada.fill('/crops/weather/new', { ...DAY, onDate: '2026-06-01', wind: '3' })
    await upload(ada, { pasted: OWN_LIST })
    const before = await written(db)
    expect(before).toHaveLength(3)
    expect(before.find((row) => row.tmaxC === 30)).toMatchObject({ onDate: '2026-06-01', windMPerS: 3 })
    const again = await upload(ada, { pasted: OWN_LIST })
    expect(again.status).toBe(422)
    expect(beside(again, 'list')).toContain('already stands in the book')
    expect(await written(db)).toHaveLength(3)
  })

  it.each([
    [
      'a heading that is not there',
      { pasted: OWN_LIST, tmaxC: 'tmax' },
      'tmaxC',
      'no heading “tmax”. Its headings are: date, max, min, rain',
    ],
    ['no date heading', { pasted: OWN_LIST, onDate: 'day' }, 'onDate', 'no heading “day”'],
    [
      'text for a number',
      { pasted: OWN_LIST.replace('31.5', 'warm') },
      'pasted',
      'Row 3, “max”: “warm” is not a number',
    ],
    [
      'a day that is none',
      { pasted: OWN_LIST.replace('2026-06-02', '2026-06-31') },
      'pasted',
      'Row 3, “date”: “2026-06-31” is not a day',
    ],
    [
      'another order of dates',
      { pasted: OWN_LIST, dateOrder: 'day-first' },
      'pasted',
      'Row 2, “date”: “2026-06-01” is not a day written day first, like 4/6/2026. One more row is wrong. Nothing was written.',
    ],
    [
      'a day to come',
      { pasted: OWN_LIST.replace('2026-06-02', '2026-07-02') },
      'pasted',
      'Row 3, “date”: 2026-07-02 is still to come',
    ],
    [
      'the same day twice',
      { pasted: OWN_LIST.replace('2026-06-02', '2026-06-01') },
      'pasted',
      'Row 3, “date”: 2026-06-01 stands in row 2 already',
    ],
    [
      'swapped temperatures',
      { pasted: OWN_LIST.replace('31.5,15', '15,31.5') },
      'pasted',
      'Row 3, “min”: the lowest of the day, 31.5, is above the highest, 15',
    ],
    [
      'rain below nothing',
      { pasted: OWN_LIST.replace('12.5', '-12.5') },
      'pasted',
      'Row 3, “rain”: -12.5 lies outside 0 to 2,000',
    ],
    [
      'a comma for decimals and for cells',
      { pasted: OWN_LIST.replace('31.5', '31,5') },
      'pasted',
      'Row 3 has 5 cells, the heading has 4',
    ],
    ['no rows', { pasted: 'date,max,min,rain\n' }, 'pasted', 'no rows'],
    ['nothing', {}, 'list', 'nothing to read'],
    ['an open quotation mark', { pasted: `${OWN_LIST}"2026-06-03,1,1,1` }, 'pasted', 'quotation mark'],
    ['a heading twice', { pasted: OWN_LIST.replace('min', 'max') }, 'pasted', '“max” stands there twice'],
    [
      'no heading of a reading',
      { pasted: OWN_LIST, tmaxC: '', tminC: '', rainMm: '' },
      'tmaxC',
      'at least one heading',
    ],
  ])('with %s is refused in one sentence, and nothing of it is written', async (_what, fields, field, words) => {
    const { ada, db } = await startedBook()
    const page = await upload(ada, fields)
    expect(page.status).toBe(422)
    expect(beside(page, field)).toContain(words)
    expect(await written(db)).toEqual([])
    if ('pasted' in fields) expect(page.html.querySelector('#pasted')?.text.trim()).toBe(fields.pasted.trim())
  })

  it('comes back in the box when it was a file, so that it can be mended there', async () => {
    const { ada, db } = await startedBook()
    const page = await upload(ada, { list: OWN_LIST.replace('31.5', 'warm') })
    expect(beside(page, 'pasted')).toContain('Row 3')
    const box = page.html.querySelector('#pasted')!.text
    await ada.send(page, { pasted: box.replace('warm', '31.5') })
    expect(await written(db)).toHaveLength(2)
  })

  it('in another encoding is refused by name', async () => {
    const { ada, db } = await startedBook()
    const bytes = Buffer.from('date,max °C\n2026-06-01,30\n', 'latin1')
    for (const file of [bytes, Buffer.from(OWN_LIST, 'utf16le'), Buffer.alloc(0)]) {
      const form = await ada.open('/crops/weather/list')
      const field = (name: string) => form.html.querySelector(`main [name="${name}"]`)!.getAttribute('value')!
      const answer = await ada.agent
        .post('/crops/weather/list')
        .field({
          _csrf: field('_csrf'),
          _form: field('_form'),
          dateOrder: 'year-first',
          onDate: 'date',
          tmaxC: 'max °C',
        })
        .attach('list', file, 'weather.csv')
      expect(answer.status).toBe(422)
      expect(answer.text).toContain(file.length > 0 ? 'not written in UTF-8' : 'There is nothing to read')
    }
    expect(await written(db)).toEqual([])
  })

  it('of 10 MB is refused with the limit', async () => {
    const { ada, db } = await startedBook()
    const list = `date,max,min,rain\n${'2026-06-01,30,16,0\n'.repeat(550_000)}`
    const page = await upload(ada, { list })
    expect(page.status).toBe(413)
    expect(page.words).toContain('the limit is 2 MB')
    expect(await written(db)).toEqual([])
  })

  it('sent twice by a bad network goes into the book once', async () => {
    const { ada, db } = await startedBook()
    const form = await ada.open('/crops/weather/list')
    const first = await ada.send(form, { pasted: OWN_LIST })
    const second = await ada.send(form, { pasted: OWN_LIST })
    expect(second.path).toBe(first.path)
    expect(await written(db)).toHaveLength(2)
  })

  it('may be written by a member, not by a reader of the book', async () => {
    const { ada, visitor } = await startedBook()
    await ada.fill('/people/new', {
      number: '2',
      name: 'Bela',
      roles: ['auditor'],
      signInName: 'bela',
      password: 'another long word',
    })
    const bela = visitor()
    await bela.fill('/sign-in', { signInName: 'bela', password: 'another long word' })
    expect((await bela.open('/crops/weather/list')).status).toBe(403)
    expect((await bela.open('/crops/weather')).status).toBe(200)
  })
})

describe('a list with wind and bulbs', () => {
  const columns = { onDate: 'day', tmaxC: 'max', tminC: 'min', rainMm: '' }
  const ROW = ['2026-06-03', '30', '16', '9', '25.6', '19.5']
  const listOf = (...heads: string[]) =>
    [heads, ROW.filter((_, at) => at < 3 || heads.includes(['day', 'max', 'min', 'wind', 'dry', 'wet'][at]!))]
      .map((cells) => cells.join(','))
      .join('\n')

  it('is of a wind at its own height and of bulbs by their own instrument, where it has such columns', async () => {
    const { ada, db } = await startedBook()
    const bulbs = { dryBulbC: 'dry', wetBulbC: 'wet', psychrometer: 'whirled', windMPerS: 'wind', windHeight: '10' }
    const page = await ada.fill('/crops/weather/list', {
      ...{ ...columns, ...bulbs, windUnit: 'km-per-h', list: listOf('day', 'max', 'min', 'wind', 'dry', 'wet') },
    })
    expect(page.status).toBe(200)
    const air = await db.selectFrom('airReading').selectAll().execute()
    expect(air).toMatchObject([{ psychrometer: 'whirled', wetBulbC: 19.5 }])
    expect(await written(db)).toMatchObject([{ windMPerS: 2.5, windHeightM: 10 }])
  })

  it('of no wind and no bulbs has neither their height nor their instrument', async () => {
    const { ada, db } = await startedBook()
    const typed = { psychrometer: 'whirled', windHeight: '10', list: listOf('day', 'max', 'min') }
    expect((await ada.fill('/crops/weather/list', { ...columns, ...typed })).status).toBe(200)
    expect(await db.selectFrom('airReading').selectAll().execute()).toEqual([])
    expect(await written(db)).toMatchObject([{ windMPerS: null, windHeightM: null }])
  })
})
