import { beforeAll, describe, expect, it } from 'vitest'
import { listAbstractions } from '../../server/abstractions/draw/store.ts'
import { abstractionsBook, addTurns, TODAY, typePage } from './book.ts'

const DAY = { fromOn: TODAY, toOn: TODAY }
const ROW = { onDate: TODAY, place: '3', plotId: '7' }

describe('a row of the pump log', () => {
  let book: Awaited<ReturnType<typeof abstractionsBook>>
  let page = 0
  beforeAll(async () => {
    book = await abstractionsBook()
  })
  const typed = async (row: Record<string, string>) =>
    typePage(book.ada, 'pump-log', String(++page), [{ ...ROW, ...row }])

  it.each([
    [{ startTime: '05:00', endTime: '05:30' }, ['hours', 0.5]],
    [{ hours: '1:15', startTime: '05:30' }, ['hours', 1.25]],
    [{ volume: '10', unit: 'jerrycans', startTime: '06:50' }, ['volume', null]],
    [{ opening: '100', closing: '101', startTime: '07:00', endTime: '07:30' }, ['meter', null]],
  ])('%o is measured as %o', async (row, expected) => {
    expect((await typed(row)).status).toBe(200)
    const draws = await listAbstractions(book.db, DAY)
    const draw = draws.find(({ startTime }) => startTime === row.startTime)!
    expect([draw.method, draw.hours]).toEqual(expected)
  })

  it.each([
    [{ opening: '100', closing: '101', hours: '1' }, 'hours'],
    [{ opening: '100', volume: '2', unit: 'm3' }, 'volume'],
    [{ hours: '1', volume: '2', unit: 'm3' }, 'volume'],
    [{ startTime: '05:00' }, 'closing'],
    [{ endTime: '05:00' }, 'closing'],
    [{}, 'closing'],
  ])('%o leaves open what counts, and nothing is written', async (row, field) => {
    const before = (await listAbstractions(book.db, DAY)).length
    const seen = await typed(row)
    const marked = seen.html.querySelectorAll('main [aria-invalid="true"]').map((one) => one.getAttribute('name'))
    expect([seen.status, marked]).toEqual([422, [`1.${field}`]])
    expect(await listAbstractions(book.db, DAY)).toHaveLength(before)
  })
})

it('a row means the turn that begins nearest to its hour, of those that nobody has logged', async () => {
  const book = await abstractionsBook()
  const [first, second, third] = await book.writing((pen) => addTurns(pen, book, [480, 660, 780]))
  const row = (startTime: string) => ({ ...ROW, volume: '1', unit: 'm3', startTime })
  await typePage(book.ada, 'pump-log', '1', [row('10:00'), row('09:50'), row('09:55')])
  const draws = await listAbstractions(book.db, DAY)
  expect(Object.fromEntries(draws.map(({ startTime, turnId }) => [startTime, turnId]))).toEqual({
    '10:00': second,
    '09:50': first,
    '09:55': third,
  })
})

describe('a slip beside what was logged from 08:00 to 10:00', () => {
  let book: Awaited<ReturnType<typeof abstractionsBook>>
  let number = 500
  beforeAll(async () => {
    book = await abstractionsBook()
    const hours = { hours: '2', startTime: '08:00', endTime: '10:00' }
    await typePage(book.ada, 'pump-log', '1', [{ ...ROW, ...hours }])
  })
  const slip = async (startTime: string, endTime: string) => {
    number += 1
    const row = { ...ROW, slipNo: String(number), hours: '1', startTime, endTime }
    return typePage(book.ada, 'slips', String(number), [row])
  }

  it.each([
    ['09:59', '11:00'],
    ['07:00', '08:01'],
    ['', '11:00'],
    ['10:00', ''],
    ['', ''],
  ])('from %j to %j is of the same water, so that somebody has to look', async (startTime, endTime) => {
    const seen = await slip(startTime, endTime)
    expect([seen.status, seen.words.includes('4 m³ are logged at that time, with other readings')]).toEqual([422, true])
  })

  it.each([
    ['10:00', '11:00'],
    ['07:00', '08:00'],
  ])('from %s to %s is a draw of its own', async (startTime, endTime) => {
    expect((await slip(startTime, endTime)).status).toBe(200)
    expect((await listAbstractions(book.db, DAY)).map((draw) => draw.startTime)).toContain(startTime)
  })

  it('is of the same water too where nobody wrote the hours of what was logged', async () => {
    const other = await abstractionsBook()
    await typePage(other.ada, 'pump-log', '1', [{ ...ROW, hours: '2', startTime: '08:00' }])
    const row = { ...ROW, slipNo: '1', hours: '1', startTime: '12:00', endTime: '13:00' }
    expect((await typePage(other.ada, 'slips', '1', [row])).status).toBe(422)
  })
})
