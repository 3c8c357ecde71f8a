import { beforeAll, describe, expect, it } from 'vitest'
import { REFUSED_THEN_TAKEN, refusedThenTaken } from '../laws/told.ts'
import { startedBook } from '../support/book.ts'
import type { Fields } from '../support/visitor.ts'
import { FIG_TREE, signInAgain } from '../water/support.ts'
import { abstractionsBook, TODAY } from './book.ts'

const BACKWARDS = 'The last number must follow the first, with at most 2,000 between them.'

describe('in a book of a pump', () => {
  let book: Awaited<ReturnType<typeof abstractionsBook>>
  beforeAll(async () => {
    book = await abstractionsBook()
  })

  it.each<[address: string, wrong: Fields, right: Fields]>([
    ['/log/close?as=new', { span: 'day', firstSlip: '5', lastSlip: '4' }, { lastSlip: '5' }],
    ['/log/close?as=new', { span: 'day', firstSlip: '1', lastSlip: '2002' }, { lastSlip: '2001' }],
    ['/paper/numbers', { firstNo: '5', lastNo: '4' }, { lastNo: '5' }],
    ['/paper/numbers', { firstNo: '11', lastNo: '2012' }, { lastNo: '2011' }],
  ])('slips at %s with %o follow each other, and with %o do', async (at, wrong, right) => {
    const seen = await refusedThenTaken(book, book.ada, { at, wrong: { pumpId: book.pumpId, ...wrong }, right })
    expect(seen.words).toContain(BACKWARDS)
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
  })

  const NIGHT = { onDate: TODAY, startLevel: '100', endLevel: '101', hours: '7' }
  const UPPER = { line1: 'upper', start1: '100', end1: '101', hours1: '1' }
  const LOWER = { line3: 'lower', start3: '100', end3: '101', hours3: '1' }
  it.each<[field: string, wrong: Fields, right: Fields]>([
    ['endLevel', { ...NIGHT, endLevel: '99' }, { endLevel: '100' }],
    ['end1', { ...NIGHT, ...UPPER, ...LOWER, end1: '99' }, { end1: '100' }],
    ['end3', { ...NIGHT, ...UPPER, ...LOWER, end3: '99' }, { end3: '100' }],
  ])('a meter ran back in a night at %s, and stood still in another', async (field, wrong, right) => {
    const at = '/log/tests/night?as=meter'
    const seen = await refusedThenTaken(book, book.ada, { at, wrong: { pumpId: book.pumpId, ...wrong }, right })
    expect(seen.words).toContain('The meter cannot have run back.')
    expect(seen.marked).toEqual([field])
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
  })

  it('no closing of a pump that has none stands in for the start of a draw', async () => {
    const seen = await refusedThenTaken(book, book.ada, {
      at: '/log/water?use=irrigation',
      wrong: { place: '~Outlet 3', plotId: '~7 Mango', startUnread: 'yes', closing: '1208', endTime: '09:00' },
      right: { startUnread: [], opening: '1206' },
    })
    expect(seen.words).toContain('No closing of this pump is in the book that could stand in. Write what the meter')
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
  })
})

// On 8 March 2026 the clocks of New York went from 02:00 to 03:00 (tz database).
describe('where the clocks were put forward', () => {
  let book: Awaited<ReturnType<typeof startedBook>>
  beforeAll(async () => {
    book = await startedBook('2026-03-07T12:00:00Z', { timeZone: 'America/New_York' })
    await book.ada.fill('/water/weirs/new', { ...FIG_TREE, fromOn: '2026-03-01' })
  })

  const DAY = '2026-03-08'
  const NO_TIME = 'On this day the clocks were put forward over this time, so it did not exist.'
  const NO_HOUR = 'The clocks were changed in that hour, so it never was. Write the hour before or after.'
  const READ = { weirId: '~Fig', readOn: DAY, depth: '150' }
  const CAN = { onDate: DAY, place: 'ford', litres: '10', fillings: '10 10 10' }
  const FLOAT = { onDate: DAY, place: 'ford', length: '10', times: '20 20 20', soundings: '0; 0\n1; 0,2\n2; 0' }
  const DREW = { place: '~Fig', onDate: DAY, volume: '2' }

  it('a machine of long ago is told no hour that never was', async () => {
    book.setNow('2000-01-01T12:00:00Z')
    const seen = await refusedThenTaken(book, book.ada, {
      at: '/people/settle/clock',
      wrong: { day: DAY, hour: '02:00' },
      right: { hour: '03:00' },
    })
    expect(seen.words).toContain(NO_TIME)
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
    book.setNow('2026-03-09T12:00:00Z')
    await signInAgain(book.ada)
  })

  it.each<[address: string, wrong: Fields, words: string, right: Fields]>([
    ['/water/levels/new', { ...READ, readAt: '02:00' }, NO_HOUR, { readAt: '01:59' }],
    ['/water/levels/new', { ...READ, readAt: '02:59', depth: '151' }, NO_HOUR, { readAt: '03:00' }],
    [
      '/water/levels/new',
      { ...READ, readAt: '06:00', pumpOffOn: DAY, pumpOffAt: '02:30' },
      NO_HOUR,
      { pumpOffAt: '01:30' },
    ],
    ['/water/stream/flow?as=bucket', { ...CAN, atTime: '02:30' }, NO_HOUR, { atTime: '03:30' }],
    ['/water/stream/flow', { ...FLOAT, atTime: '02:30' }, NO_HOUR, { atTime: '01:30' }],
    ['/log/water?use=drinking', { ...DREW, startTime: '02:30', endTime: '04:00' }, NO_TIME, { startTime: '03:00' }],
    ['/log/water?use=drinking', { ...DREW, startTime: '01:00', endTime: '02:30' }, NO_TIME, { endTime: '03:30' }],
  ])('%s with %o is told “%s”, and with %o taken', async (at, wrong, words, right) => {
    const seen = await refusedThenTaken(book, book.ada, { at, wrong, right })
    expect(seen.words).toContain(words)
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
  })
})
