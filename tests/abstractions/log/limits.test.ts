import { parse } from 'csv-parse/sync'
import { beforeAll, describe, expect, it } from 'vitest'
import { listAbstractions } from '../../../server/abstractions/draw/store.ts'
import { currentGroup, setGroup } from '../../../server/people/group/store.ts'
import { addFlowTest } from '../../../server/works/pump/store.ts'
import { refusedThenTaken } from '../../laws/told.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'
import { signInAgain } from '../../water/support.ts'
import { abstractionsBook, addTurn, TODAY } from '../book.ts'

const FRIDAY = '2026-06-12'

async function draw(ada: Visitor, method: string, fields: Record<string, string>) {
  const form = await ada.open(`/log/water?use=irrigation&method=${method}`)
  const [place, plotId] = [optionValue(form, 'place', 'Outlet 3'), optionValue(form, 'plotId', '7 Mango')]
  const seen = await ada.send(form, { place, plotId, ...fields })
  expect(seen.path).toMatch(/^\/log\/lines\/drawn\//)
  return seen
}

describe('a turn that begins at eight', () => {
  let book: Awaited<ReturnType<typeof abstractionsBook>>
  let turn: string
  beforeAll(async () => {
    book = await abstractionsBook()
    turn = `/log/turns/${await book.writing((pen) => addTurn(pen, book, FRIDAY))}`
  })
  const isOffered = async (instant: string) => {
    book.setNow(instant)
    await signInAgain(book.ada)
    return (await book.ada.open(turn)).words.includes('It went otherwise')
  }

  it('may be said to have gone otherwise from that minute on', async () => {
    expect(await isOffered('2026-06-11T14:00:00Z')).toBe(false)
    expect(await isOffered('2026-06-12T04:59:59Z')).toBe(false)
    expect(await isOffered('2026-06-12T05:00:00Z')).toBe(true)
    expect(await isOffered('2026-06-12T14:00:00Z')).toBe(true)
  })

  it('starts where the meter stood, and below that only where somebody looked twice', async () => {
    await draw(book.ada, 'meter', { opening: '100', closing: '102', startTime: '06:00', endTime: '07:00' })
    const same = await book.ada.fill(`${turn}?as=start`, { meterM3: '102' })
    expect(same.path).toBe(`/log/days/${FRIDAY}`)
    const below = await book.ada.fill(`${turn}?as=start`, { meterM3: '101.999' })
    expect([below.status, below.words.includes('That is less than the last closing')]).toEqual([422, true])
  })

  it('may still be said to have gone otherwise on the day after', async () => {
    expect(await isOffered('2026-06-13T04:00:00Z')).toBe(true)
  })
})

// 20 litres in 24 seconds are 3 m3 an hour; the outlet was tested at 2.
describe('the flow by a bucket', () => {
  const FILLS = { containerLitres: '20', seconds1: '24', seconds2: '24', seconds3: '24', seconds4: '24' }

  it('is told before hours are written, with how far the sun may move it', async () => {
    const book = await abstractionsBook()
    const id = await book.writing((pen) => addTurn(pen, book))
    await draw(book.ada, 'bucket', { ...FILLS, startTime: '06:00', endTime: '07:00' })
    // Careful timings err by 5 in a hundred and the sun of another hour by 30, together by 30.4: 0.91 of 3.
    expect((await book.ada.open(`/log/turns/${id}?method=hours`)).words).toContain(
      '3 m³ an hour by the bucket on 11 Jun 2026; 2.1 to 3.9 over the day',
    )
  })

  it('counts for thirty days, also where the outlet was tested on its day, and not where it was after', async () => {
    const book = await abstractionsBook()
    const { ada, db } = book
    await draw(ada, 'bucket', { ...FILLS, startTime: '06:00', endTime: '07:00' })
    await book.writing((pen) => addFlowTest(pen, { outletId: book.outletId, testedOn: TODAY, flowM3PerH: 2 }))
    const anHour = async (onDate: string) => {
      await draw(ada, 'hours', { hours: '1', onDate, startTime: '08:00', endTime: '09:00' })
      return (await listAbstractions(db, { fromOn: onDate, toOn: onDate })).at(-1)!.volumeM3
    }
    book.setNow('2026-07-20T14:00:00Z')
    await signInAgain(ada)
    expect(await anHour(TODAY)).toBe(3)
    expect(await anHour('2026-07-11')).toBe(3)
    expect(await anHour('2026-07-12')).toBe(2)
    await book.writing((pen) => addFlowTest(pen, { outletId: book.outletId, testedOn: FRIDAY, flowM3PerH: 2.5 }))
    expect(await anHour(FRIDAY)).toBe(2.5)
  })
})

it('a correction comes with the reading that was likely meant, of the start as of the end', async () => {
  const { ada } = await abstractionsBook()
  const { path } = await draw(ada, 'meter', { opening: '100', closing: '102', startTime: '07:00', endTime: '08:00' })
  const typed = async (likely: string) => {
    const { html } = await ada.open(`${path}/correct${likely}`)
    return ['opening', 'closing'].map((name) => html.querySelector(`#${name}`)!.getAttribute('value'))
  }
  expect(await typed('')).toEqual(['100', '102'])
  expect(await typed('?opening=101')).toEqual(['101', '102'])
  expect(await typed('?closing=103')).toEqual(['100', '103'])
})

it('hours stand in the list of draws to a ten-thousandth, and none where nobody wrote them', async () => {
  const { ada } = await abstractionsBook()
  await draw(ada, 'hours', { hours: '0:20', startTime: '06:00', endTime: '06:20' })
  await draw(ada, 'meter', { opening: '100', closing: '102', startTime: '07:00', endTime: '08:00' })
  const { text } = await ada.agent.get('/log/lines/drawn.csv')
  const rows = parse(text, { columns: true, bom: true }) as Record<string, string>[]
  expect(rows.map((row) => row.hours)).toEqual(['0.3333', ''])
})

describe('books of slips', () => {
  let book: Awaited<ReturnType<typeof abstractionsBook>>
  beforeAll(async () => {
    book = await abstractionsBook()
    await book.ada.fill('/paper/numbers', { pumpId: book.pumpId, firstNo: '101', lastNo: '140' })
  })

  it.each([
    [{ firstNo: '140', lastNo: '160' }, { firstNo: '141' }],
    [{ firstNo: '90', lastNo: '101' }, { lastNo: '100' }],
  ])('%o take a number of another, and with %o none', async (wrong, right) => {
    const seen = await refusedThenTaken(book, book.ada, {
      at: '/paper/numbers',
      wrong: { pumpId: book.pumpId, ...wrong },
      right,
    })
    expect([seen.refusal.status, seen.mended.isWritten]).toEqual([422, true])
  })

  it('have their last number, and name those outside what is closed on either side', async () => {
    const line = (at: number, slipNo: string) =>
      draw(book.ada, 'meter', {
        ...{ opening: String(at), closing: String(at + 1), slipNo },
        ...{ startTime: `0${at}:00`, endTime: `0${at}:30` },
      })
    for (const [at, slipNo] of ['101', '140', '102'].entries()) await line(at + 5, slipNo)
    const closed = await book.ada.fill('/log/close?as=new', {
      ...{ pumpId: book.pumpId, span: 'day', toOn: TODAY, firstSlip: '102', lastSlip: '102' },
    })
    expect(closed.words).toContain('Slips outside these numbers: 101, 140.')
    expect((await book.ada.open('/log/close')).words).toContain('Slips 101–140 for pump 1: 3 written in.')
  })

  it('tell what was corrected since they were closed in the order in which it was', async () => {
    const [first, second] = await listAbstractions(book.db, { fromOn: TODAY, toOn: TODAY })
    for (const [at, { id }] of [second!, first!].entries()) {
      book.setNow(`2026-06-11T15:0${at}:00Z`)
      await book.ada.fill(`/log/lines/drawn/${id}/correct`, { remark: 'seen', reason: `reason ${at}` })
    }
    const { words } = await book.ada.open('/log/close')
    expect(words.indexOf('reason 0')).toBeGreaterThan(0)
    expect(words.indexOf('reason 1')).toBeGreaterThan(words.indexOf('reason 0'))
  })
})

// In Nairobi the season begins at 00:00, which is 21:00 of the day before in UTC.
it.each([
  ['in the first hour of a season', '2026-06-11T21:30:00Z', FRIDAY],
  ['on the last day of a season', '2026-10-31T14:00:00Z', '2026-10-31'],
])('a draw of more than a day of the pump is looked at again %s', async (_, instant, onDate) => {
  const { ada, db, setNow, writing } = await abstractionsBook()
  const group = (await currentGroup(db))!
  await writing((pen) => setGroup(pen, { ...group, seasonStartOn: FRIDAY }, TODAY))
  setNow(instant)
  await signInAgain(ada)
  await draw(ada, 'hours', { hours: '25', onDate })
  expect((await ada.open('/log/check')).words).toContain('1 open point')
})
