import { expect, it } from 'vitest'
import type { Id } from '../../domain/id.ts'
import { appendEntry } from '../../server/book/entries.ts'
import { PRINTED_WORKS } from '../../server/paper/whole-book/printed-works.ts'
import { makeFormat } from '../../server/web/figures/format.ts'
import { serviceStates } from '../../server/works/fault/store.ts'
import { nameForTest } from '../../server/works/flow-test/unnamed-store.ts'
import { addFlowTest, listPumps } from '../../server/works/pump/store.ts'
import { abstractionsBook, TODAY } from '../abstractions/book.ts'
import { optionValue } from '../support/visitor.ts'
import { tableRows } from '../water/support.ts'
import { bookWithTank } from './tank-book.ts'

type Book = Awaited<ReturnType<typeof abstractionsBook>>

const readHours = ({ writing, pumpId }: Book, onDate: string, hourMeterH: number) =>
  writing((pen) => {
    const row = { pumpId, onDate, moment: 'dawn', meterM3: 5, atTime: '06:00', hourMeterH, remark: null }
    return appendEntry(
      pen,
      { kind: 'pump-day-reading', happenedAt: `${onDate}T03:00:00.000Z` },
      { pumpDayReading: [row] },
    )
  })

it('the hours since a service are those read from its day on, and nobody knows them before the day after', async () => {
  const book = await abstractionsBook()
  const { ada, db, pumpId } = book
  // Its hour meter was new at the service.
  await readHours(book, '2026-06-01', 5000)
  await ada.fill('/log/faults/service', { pumpId, onDate: '2026-06-02', hourMeter: '10', nextAfter: '250' })
  const told = async () => {
    const { hoursSince, readOn, isRead } = (await serviceStates(db))[0]!
    return [hoursSince, readOn, isRead]
  }
  expect(await told()).toEqual([0, '2026-06-02', false])
  await readHours(book, '2026-06-02', 12)
  expect(await told()).toEqual([2, '2026-06-02', false])
  await readHours(book, '2026-06-03', 20)
  expect(await told()).toEqual([10, '2026-06-03', true])
})

it('two small steps of a flow within thirty days are one large one', async () => {
  const { writing, db, outletId } = await abstractionsBook()
  const outlet = outletId as Id<'outlet'>
  // The outlet was tested at 2 m3 an hour: 1.4 is not far from it, nor 1 from 1.4, but 1 from 2.
  await writing((pen) => addFlowTest(pen, { outletId, testedOn: '2026-06-05', flowM3PerH: 1.4 }))
  const waits = async (testedOn: string) =>
    Object.keys(await nameForTest(db, { outletId: outlet, testedOn, flowM3PerH: 1 })).length > 0
  expect(await waits('2026-07-05')).toBe(true)
  expect(await waits('2026-07-06')).toBe(false)
})

it('a meter that was replaced on the day from which its pump is described counts by its own digits', async () => {
  const { ada, db, pumpId } = await abstractionsBook()
  const meter = { pumpId, onDate: '2026-06-01', atTime: '08:00', oldLast: '40000', newFirst: '0', digits: '6' }
  expect((await ada.fill('/log/meter', meter)).status).toBe(200)
  expect((await listPumps(db, TODAY)).map(({ meterDigits }) => meterDigits)).toEqual([6])
})

it('the sheet of tanks begins with the newest day, its print with the oldest, and each day with the first tank', async () => {
  const { ada, pumpId } = await bookWithTank()
  await ada.fill('/works/tanks/new', {
    number: '2',
    name: 'School',
    pumpId,
    area: '4',
    height: '2',
    fromOn: '2026-06-01',
  })
  for (const onDate of ['2026-06-09', TODAY, '2026-06-10'])
    for (const tank of ['1', '2']) {
      const form = await ada.open('/log/round?as=tank-day')
      await ada.send(form, { onDate, tankId: optionValue(form, 'tankId', tank), morning: '50' })
    }
  const rowsOf = async (path: string) =>
    tableRows(await ada.open(path), '').map(([on, tank]) => `${on!.split(' ')[0]} ${tank}`)
  const NEWEST = ['11 1 Hill', '11 2 School', '10 1 Hill', '10 2 School', '9 1 Hill', '9 2 School']
  const OLDEST = ['9 1 Hill', '9 2 School', '10 1 Hill', '10 2 School', '11 1 Hill', '11 2 School']
  expect(await rowsOf('/log/lines/tank-day')).toEqual(NEWEST)
  expect(await rowsOf('/paper/lines/tanks')).toEqual(OLDEST)
})

it('a test of the flow is printed with the days that hold it', async () => {
  const { writing, db, outletId } = await abstractionsBook()
  await writing((pen) => addFlowTest(pen, { outletId, testedOn: '2026-06-05', flowM3PerH: 1.4 }))
  const book = PRINTED_WORKS.find(({ name }) => name === 'flow-tests')!
  const visit = { format: makeFormat('en', 'UTC'), locale: { t: String } } as never
  const printed = async (fromOn: string, toOn: string) => (await book.rows(db, visit, { fromOn, toOn })).length
  expect(await printed('2026-06-05', '2026-06-05')).toBe(1)
  expect(await printed('2026-06-02', '2026-06-04')).toBe(0)
  expect(await printed('2026-06-06', '2026-06-09')).toBe(0)
})
