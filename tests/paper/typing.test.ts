import { describe, expect, it } from 'vitest'
import { listAbstractions } from '../../server/abstractions/draw/store.ts'
import { verifyBook } from '../../server/book/verify.ts'
import { listReadings } from '../../server/water/level/store.ts'
import { weatherDays } from '../../server/water/weather/store.ts'
import { abstractionsBook, addTurn, cells, TODAY, typePage } from '../abstractions/book.ts'
import { OWN_GROUP } from '../support/book.ts'

const BOOKS = [
  'pump-log',
  'slips',
  'pump-readings',
  'tanks',
  'levels',
  'weather',
  'flow-tests',
  'requests',
  'cash-book',
]
const DAY = { fromOn: TODAY, toOn: TODAY }
const ALL = { fromOn: '2000-01-01', toOn: '2100-01-01' }

describe('a blank form', () => {
  it('has the columns of the screen, the names of the group and the numbers of its outlets', async () => {
    const { ada } = await abstractionsBook()
    const blank = await ada.open('/paper/pump-log')
    // On paper nine columns with a box a digit, twelve rows; where it is typed in every field of the screen.
    expect(blank.html.querySelectorAll('.log-leaf thead th')).toHaveLength(9)
    expect(blank.html.querySelectorAll('.log-leaf tbody tr')).toHaveLength(12)
    expect(blank.words).toContain('D drinking stand, S stock trough, F flushing, O other')
    const typed = await ada.open('/paper/pump-log/type')
    const heads = typed.html
      .querySelector('table.type-in')!
      .querySelectorAll('thead th')
      .map((head) => head.text.trim())
    const [, ...columns] = heads
    expect(columns.slice(0, 2)).toEqual(['Day', 'Where the water was taken'])
    const screen = await ada.open('/log/water?use=irrigation&method=meter')
    const labels = screen.html
      .querySelectorAll('main form[method=post] .q > label, main form[method=post] .asks')
      .map((label) => label.text.replace(' (may stay empty)', '').trim())
    expect(labels.length).toBeGreaterThan(6)
    // Every field of the screen is a column, in its order but for the carried ones.
    expect(columns.filter((column) => labels.includes(column)).toSorted()).toEqual(labels.toSorted())
    const carried = ['Day', 'Where the water was taken']
    const rest = (names: string[]) => names.filter((name) => labels.includes(name) && !carried.includes(name))
    expect(rest(columns)).toEqual(rest(labels))
    expect(blank.words).toContain('3 Bend')
    expect(blank.words).toContain('2 Bela')
    expect(blank.words).toContain('P1 at the pump Lower')
  })

  it.each(BOOKS)('is there for %s', async (book) => {
    const { ada } = await abstractionsBook()
    const blank = await ada.open(`/paper/${book}`)
    expect(blank.status).toBe(200)
    const rows = blank.html.querySelectorAll('table.blank tbody tr, .log-leaf tbody tr, .receipt-strip')
    expect(rows).toHaveLength({ 'pump-log': 12, 'cash-book': 3 }[book] ?? 16)
    const csv = await ada.agent.get(`/paper/${book}/blank.csv`)
    if (book === 'cash-book') return
    const typed = await ada.open(`/paper/${book}/type`)
    // On a phone the last rows wait behind a fold: there is room for a whole page of paper.
    expect(typed.html.querySelectorAll('table.type-in tbody tr').length).toBeGreaterThanOrEqual(rows.length)
    const columns = typed.html.querySelector('table.type-in')!.querySelectorAll('thead th').length - 1
    expect(
      csv.text
        .trim()
        .replace(/"[^"]*"/g, 'x')
        .split(','),
    ).toHaveLength(columns)
  })

  it('is named on one page with a door to type each in', async () => {
    const { ada } = await abstractionsBook()
    const page = await ada.open('/paper')
    // A receipt book is the treasurer's.
    expect(page.html.querySelectorAll('a[href^="/paper/"][href$="/type"]')).toHaveLength(BOOKS.length - 1)
    expect((await ada.open('/paper/nothing')).status).toBe(404)
    expect((await ada.open('/paper/cash-book/type')).status).toBe(403)
  })
})

describe('a page of the pump log typed in', () => {
  it('goes the same way as turns logged at the pump, weeks later than it happened', async () => {
    const { ada, db, writing, setNow, ...ids } = await abstractionsBook()
    const turnId = await writing((pen) => addTurn(pen, ids))
    setNow('2026-07-02T18:00:00Z')
    await ada.fill('/sign-in', { signInName: 'ada', password: OWN_GROUP.password })
    const page = await typePage(ada, 'pump-log', '12', [
      { onDate: TODAY, place: '3', opening: '1204', closing: '1208', startTime: '8:00', endTime: '10:00', sky: 'cl' },
      {
        place: '',
        opening: '1208',
        closing: '1209.5',
        plotId: '7',
        startTime: '11:00',
        endTime: '12:00',
        events: 'late',
      },
      { place: 'w1', use: 'drinking', volume: '35', unit: 'jerrycans' },
    ])
    expect(page.words).toContain('Page 12 of the pump log')
    expect(page.words).toContain('3 rows of this page are in the book')
    const draws = await listAbstractions(db, DAY)
    expect(draws.map(({ turnId: turn, volumeM3, plotNumber, use }) => [turn, volumeM3, plotNumber, use])).toEqual([
      [turnId, 4, 7, 'irrigation'],
      [null, 1.5, 7, 'irrigation'],
      [null, 0.7, null, 'drinking'],
    ])
    expect(draws[0]!.happenedAt).toBe('2026-06-11T05:00:00.000Z')
    expect(draws[0]!.writtenAt).toBe('2026-07-02T18:00:00.000Z')
    const entry = await db.selectFrom('entry').selectAll().where('id', '=', draws[0]!.id).executeTakeFirstOrThrow()
    expect([entry.paperPage, entry.paperRow]).toEqual(['pump-log 12', 1])
    expect((await ada.open(page.html.querySelector('main table a')!.getAttribute('href')!)).words).toContain(
      'Plot 7 Mango',
    )
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })

  it('takes the group’s own vessels, cut short as any word, in the pump log and on the booking list', async () => {
    const { ada, db } = await abstractionsBook()
    await ada.fill('/people/settle/measure', { kind: 'drum', name: 'barrel', size: '200', fromOn: TODAY })
    const log = await typePage(ada, 'pump-log', '5', [
      { onDate: TODAY, place: 'w1', use: 'drinking', volume: '3', unit: 'bar' },
      { place: 'w1', use: 'drinking', volume: '3', unit: 'bucket' },
    ])
    expect(log.words).toContain('barrel of 200 litres')
    expect((await listAbstractions(db, DAY)).map(({ volumeM3 }) => volumeM3)).toEqual([0.6])
    await typePage(ada, 'requests', '6', [
      { askedOn: TODAY, weekStartOn: '2026-06-15', plotId: '7', volume: '12', askedIn: 'barrel' },
    ])
    const asked = await db.selectFrom('waterRequest').select(['volumeM3']).execute()
    expect(asked).toEqual([{ volumeM3: 2.4 }])
  })

  it('keeps the good rows and shows the bad ones again as they were typed, under their own numbers', async () => {
    const { ada, db } = await abstractionsBook()
    const page = await typePage(ada, 'pump-log', '12', [
      { onDate: TODAY, place: '3', opening: '1204', closing: 'twelve' },
      { opening: '1208', closing: '1209' },
      { place: '99', opening: '1', closing: '2' },
      { place: '3', opening: '2', closing: '3', volume: '4', unit: 'm3' },
      { place: '3', remark: 'nobody read it' },
    ])
    expect(page.status).toBe(422)
    expect(page.words).toContain('1 row is in the book now')
    expect(page.words).toContain('4 rows need to be mended')
    expect(page.words).toContain('There is no number “99”')
    expect(page.words).toContain('Two ways of measuring')
    expect(page.words).toContain('Write both meter readings')
    expect(page.html.querySelector('[name="1.closing"]')?.getAttribute('value')).toBe('twelve')
    expect(page.html.querySelector('[name="4.place"]')?.getAttribute('value')).toBe('3')
    expect(page.html.querySelector('[name="2.opening"]')).toBeNull()
    // What was carried down stays with the row although the row above it is gone.
    expect(page.html.querySelector('[name="5.onDate"]')?.getAttribute('value')).toBe(TODAY)
    expect(await listAbstractions(db, ALL)).toHaveLength(1)
    await ada.send(page, {
      ...{ '1.closing': '1208', '3.place': '3', '4.volume': '', '4.unit': '' },
      ...{ '5.opening': '1209', '5.closing': '1210' },
    })
    const rows = await db.selectFrom('entry').select('paperRow').where('paperPage', '=', 'pump-log 12').execute()
    expect(rows.map((row) => row.paperRow).toSorted()).toEqual([1, 2, 3, 4, 5])
  })

  it('adds nothing when the same page is typed in twice, and says so', async () => {
    const { ada, db } = await abstractionsBook()
    const rows: Record<string, string>[] = [
      { onDate: TODAY, place: '3', opening: '1204', closing: '1208' },
      { opening: '1208', closing: '1210' },
    ]
    await typePage(ada, 'pump-log', '12', rows)
    const again = await typePage(ada, 'pump-log', '12', rows)
    expect(again.words).toContain('2 rows of this page were typed in before, so nothing was added for them')
    expect(await listAbstractions(db, DAY)).toHaveLength(2)
    const longer = await typePage(ada, 'pump-log', '12', [
      ...rows,
      { onDate: TODAY, place: '3', opening: '1210', closing: '1211' },
    ])
    expect(longer.words).toContain('3 rows of this page are in the book')
    expect(await listAbstractions(db, DAY)).toHaveLength(3)
    expect((await ada.open('/paper/pump-log')).words).toContain('Page 12, 3 rows')
  })

  it('makes one entry of each row when the network sends the page twice, and shows the bad rows until they are mended', async () => {
    const { ada, db } = await abstractionsBook()
    const form = await ada.open('/paper/pump-log/type')
    const typed = {
      pageNo: '5',
      ...cells([{ onDate: TODAY, place: '3', opening: '1', closing: '2' }, { opening: 'x' }]),
    }
    const first = await ada.send(form, typed)
    for (let times = 0; times < 2; times++) {
      const again = await ada.send(form, typed)
      expect([first.status, again.status]).toEqual([422, 422])
      const bad = (page: typeof first) => page.html.querySelector('[name="2.opening"]')?.getAttribute('value')
      expect([bad(first), bad(again)]).toEqual(['x', 'x'])
      expect(again.words).toContain('1 row needs to be mended')
      expect(again.html.querySelector('[name="1.opening"]')).toBeNull()
    }
    expect(await listAbstractions(db, ALL)).toHaveLength(1)
    await ada.send(first, { '2.opening': '2', '2.closing': '3' })
    expect((await ada.send(form, typed)).path).toMatch(/^\/paper\/pump-log\/pages\/5/)
    expect(await listAbstractions(db, ALL)).toHaveLength(2)
  })

  it('asks for the page number and for at least one row', async () => {
    const { ada } = await abstractionsBook()
    const page = await ada.fill('/paper/pump-log/type', { '1.remark': 'kept' })
    expect(page.html.querySelector('#pageNo-error')?.text).toContain('Please fill this in')
    expect(page.html.querySelector('[name="1.remark"]')?.getAttribute('value')).toBe('kept')
    expect((await ada.fill('/paper/pump-log/type', { pageNo: '1' })).words).toContain('There is no row yet')
  })
})

describe('rows pasted from a spreadsheet', () => {
  it.each([
    [
      'semicolons and decimal commas under the headings, with a byte-order mark',
      '\ufeffDay;Where the water was taken;Meter at the end, m³;Meter at the start, m³\r\n11/06/2026;3;1208,5;1204\r\n;;1210;1208,5\r\n',
    ],
    ['tabs without headings', `${TODAY}\t3\t\t\t1204\t1208.5\n\t\t\t\t1208.5\t1210`],
    [
      'commas and quotation marks',
      `Day,"Where the water was taken","Meter at the start, m³","Meter at the end, m³"\n${TODAY},3,"1204","1208.5"\n,,1208.5,1210`,
    ],
  ])('are read with %s', async (_, pasted) => {
    const { ada, db } = await abstractionsBook()
    const page = await ada.fill('/paper/pump-log/type', { pageNo: '3', pasted })
    expect(page.words).toContain('2 rows of this page are in the book')
    expect((await listAbstractions(db, DAY)).map(({ volumeM3 }) => volumeM3)).toEqual([4.5, 1.5])
  })

  it('are sent back whole when the cells cannot be told apart', async () => {
    const { ada, db } = await abstractionsBook()
    const pasted = 'Day,Where the water was taken\n2026-06-11,3,4,5'
    const page = await ada.fill('/paper/pump-log/type', { pageNo: '3', pasted })
    expect(page.html.querySelector('#pasted-error')?.text).toContain('Row 2 has 4 cells')
    expect(page.html.querySelector('#pasted')?.text).toBe(pasted)
    expect(await listAbstractions(db, ALL)).toEqual([])
  })
})

describe('other books', () => {
  it('take a page of levels, with weir and day carried down', async () => {
    const { ada, db } = await abstractionsBook()
    const page = await typePage(ada, 'levels', '2', [
      { readOn: '2026-06-04', weirId: '1', readAt: '6:30', depth: '80', pumpOffOn: '2026-06-03', pumpOffAt: '17:00' },
      { readOn: '2026-06-11', readAt: '6:30', depth: '85', flowSeen: 'yes', readerId: '2' },
    ])
    expect(page.words).toContain('2 rows of this page are in the book')
    const readings = await listReadings(db, ALL)
    expect(
      readings.map(({ readOn, depthCm, flowSeen, readerName }) => [readOn, depthCm, flowSeen, readerName]),
    ).toEqual([
      ['2026-06-04', 80, false, null],
      ['2026-06-11', 85, true, 'Bela'],
    ])
  })

  it('take a weather sheet, and leave a day that stands to its own page', async () => {
    const { ada, db } = await abstractionsBook()
    const rows: Record<string, string>[] = [
      { onDate: '2026-06-02', tmaxC: '31', tminC: '17,5', rainMm: '0' },
      { onDate: '2026-06-02', rainMm: '3' },
    ]
    const page = await typePage(ada, 'weather', '1', [
      ...rows,
      { onDate: '2026-06-03', tmaxC: '12', tminC: '20' },
      { onDate: '2026-06-12', rainMm: '1' },
    ])
    expect(page.words).toContain('1 row is in the book now')
    expect(page.words).toContain('This day is in the book already')
    expect(page.html.querySelectorAll('tr.wrong')).toHaveLength(3)
    expect(await weatherDays(db, ALL)).toMatchObject([{ onDate: '2026-06-02', tmaxC: 31, tminC: 17.5, rainMm: 0 }])
  })
})
