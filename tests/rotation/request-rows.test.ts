import { beforeAll, expect, it } from 'vitest'
import type { Id } from '../../domain/id.ts'
import { appendEntry, type Pen } from '../../server/book/entries.ts'
import {
  impossibleHours,
  requestDetails,
  setUrgentQuota,
  urgentInMonth,
  urgentQuotaOn,
  wishedHours,
} from '../../server/rotation/request/detail-store.ts'
import { openWishes } from '../../server/rotation/request/split-store.ts'
import { addRequest, endStandingRequest, type NewRequest, requestsFor } from '../../server/rotation/request/store.ts'
import { type MoneyBook, moneyBook } from '../fees/book.ts'

// Each table holds rows of another plot, week, month and request, and rows that were corrected, so that a question that takes
// one row too many is seen.

const [WEEK, LATER] = ['2026-06-08', '2026-06-15']
const RHYTHM = { firstWeekday: 1, marketWeeks: [] } as const

let book: MoneyBook
let bela: Partial<NewRequest>
let chidi: Partial<NewRequest>
beforeAll(async () => {
  book = await moneyBook()
  bela = { plotId: book.plotOf.Bela }
  chidi = { plotId: book.plotOf.Chidi }
})

const writing = <T>(work: (pen: Pen) => Promise<T>, writtenAt = '2026-06-04T05:00:00.000Z') =>
  book.db.transaction().execute((trx) => work({ trx, writtenBy: book.ids.Ada, writtenAt }))
const ask = (request: Partial<NewRequest>, writtenAt?: string) =>
  writing(
    (pen) => addRequest(pen, { weekStartOn: WEEK, volumeM3: 1, forPersonId: null, ...request } as NewRequest),
    writtenAt,
  )
const strike = (kind: string, correctsId: string) =>
  writing((pen) => appendEntry(pen, { kind, correctsId, reason: 'mistyped' }, {}))
const volumes = async (on: string) =>
  (await requestsFor(book.db, on)).map(({ plotId, volumeM3, standing }) => [
    plotId === book.plotOf.Bela ? 'Bela' : 'Chidi',
    volumeM3,
    standing,
  ])

it('of a week are those of that week that stand, else what was asked for every week from its day on', async () => {
  await ask({ ...bela, volumeM3: 2 })
  await ask({ ...bela, volumeM3: 3, weekStartOn: LATER })
  await strike('water-request', await ask({ ...bela, volumeM3: 4 }))
  await ask({ ...chidi, volumeM3: 5, standing: true })
  await ask({ ...chidi, volumeM3: 6, standing: true, weekStartOn: LATER })
  await strike('standing-request', await ask({ ...chidi, volumeM3: 7, standing: true }))
  expect(await volumes('2026-06-01')).toEqual([])
  expect(await volumes(WEEK)).toEqual([
    ['Bela', 2, false],
    ['Chidi', 5, true],
  ])
  expect(await volumes(LATER)).toEqual([
    ['Bela', 3, false],
    ['Chidi', 6, true],
  ])
})

it('have each their own hours and urgency', async () => {
  const at = (weekday: number, kind: 'wished' | 'impossible') =>
    ({ kind, weekday, marketDay: null, fromHour: weekday, toHour: weekday + 1 }) as const
  const mine = await ask({ ...bela, times: [at(1, 'wished'), at(3, 'impossible')], urgent: 'seedlings wilt' })
  const other = await ask({ ...chidi, times: [at(2, 'wished')], urgent: 'fruit drops', weekStartOn: LATER })
  const details = await requestDetails(book.db, [mine])
  expect([...details.keys()]).toEqual([mine])
  expect(details.get(mine)!.urgent).toBe('seedlings wilt')
  expect(details.get(mine)!.times.map(({ weekday }) => weekday)).toEqual([1, 3])
  expect((await requestDetails(book.db, [other])).get(other)!.urgent).toBe('fruit drops')
  const days = Array.from({ length: 7 }, (_, day) => `2026-06-${String(8 + day).padStart(2, '0')}`)
  const wished = await wishedHours(book.db, days, RHYTHM)
  expect(wished).toEqual([{ plotId: bela.plotId, on: '2026-06-08', fromHour: 1, toHour: 2 }])
  const cannot = await impossibleHours(book.db, days, RHYTHM)
  expect(cannot).toEqual([{ plotId: bela.plotId, on: '2026-06-10', fromHour: 3, toHour: 4, words: '' }])
})

it('that are ended keep what was said with them, and only that', async () => {
  const hour = { kind: 'wished', weekday: 5, marketDay: null, fromHour: 9, toHour: 10 } as const
  const first = await ask({ ...bela, volumeM3: 8, standing: true, times: [hour], urgent: 'first' })
  const second = await ask({
    ...chidi,
    volumeM3: 9,
    standing: true,
    times: [{ ...hour, weekday: 6 }],
    urgent: 'second',
  })
  const ended = await writing((pen) =>
    endStandingRequest(pen, second, { untilOn: '2026-06-30', reason: 'the crop is in' }),
  )
  const rows = await book.db.selectFrom('standingRequest').selectAll().where('entryId', '=', ended).execute()
  expect(rows).toEqual([{ ...chidi, entryId: ended, volumeM3: 9, fromOn: WEEK, untilOn: '2026-06-30' }])
  const { times, urgent } = (await requestDetails(book.db, [ended])).get(ended)!
  expect(times.map(({ weekday }) => weekday)).toEqual([6])
  expect(urgent).toBe('second')
  expect(await book.db.selectFrom('requestUrgent').select('words').where('entryId', '=', ended).execute()).toHaveLength(
    1,
  )
  expect((await requestDetails(book.db, [first])).get(first)!.urgent).toBe('first')
})

it('that end on the first day of a week are still of that week, whole or in two, and of none after it', async () => {
  // Chidi asks for 9 m3 until 30 June, Bela for 8 m3 without an end.
  expect(await volumes('2026-06-30')).toContainEqual(['Chidi', 9, true])
  expect(await volumes('2026-07-01')).toEqual([['Bela', 8, true]])
  const open = (plotId: string, on: string) => openWishes(book.db, plotId as Id<'plot'>, on)
  expect(await open(chidi.plotId!, '2026-06-30')).toEqual([{ volumeM3: 9, untilOn: '2026-06-30', weekStartOn: null }])
  expect(await open(chidi.plotId!, '2026-07-01')).toEqual([])
  expect(await open(bela.plotId!, '2026-07-01')).toEqual([{ volumeM3: 8, untilOn: null, weekStartOn: null }])
})

it('that are urgent count for their plot in their month by the clock of the group, as long as they stand', async () => {
  const inOctober = ({ plotId }: Partial<NewRequest>) => urgentInMonth(book.db, plotId!, '2026-10-15', 'Africa/Nairobi')
  // Nairobi is three hours ahead: October there begins at 21:00 of 30 September.
  await ask({ ...bela, urgent: 'a' }, '2026-09-30T20:59:00.000Z')
  await ask({ ...bela, urgent: 'b' }, '2026-09-30T21:01:00.000Z')
  await ask({ ...bela, urgent: 'c', standing: true }, '2026-10-31T20:59:00.000Z')
  await ask({ ...bela, urgent: 'd' }, '2026-10-31T21:01:00.000Z')
  await ask({ ...chidi, urgent: 'e' }, '2026-10-10T08:00:00.000Z')
  await ask(bela, '2026-10-11T08:00:00.000Z')
  await strike('water-request', await ask({ ...bela, urgent: 'f' }, '2026-10-12T08:00:00.000Z'))
  expect(await inOctober(bela)).toBe(2)
  expect(await inOctober(chidi)).toBe(1)
})

it('that are urgent have the quota that stands on the day', async () => {
  expect(await urgentQuotaOn(book.db, '2026-06-04')).toBe(1)
  await writing((pen) => setUrgentQuota(pen, { fromOn: '2026-06-04', perMonth: 3 }))
  const mistyped = await writing((pen) => setUrgentQuota(pen, { fromOn: '2026-06-05', perMonth: 9 }))
  await strike('urgent-quota', mistyped)
  expect(await urgentQuotaOn(book.db, '2026-06-06')).toBe(3)
})
