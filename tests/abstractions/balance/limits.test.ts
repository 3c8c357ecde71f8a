import { expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { metersOverLog, pumpWater } from '../../../server/abstractions/balance/pump-balance-store.ts'
import { addAbstraction } from '../../../server/abstractions/draw/store.ts'
import { appendEntry } from '../../../server/book/entries.ts'
import { setTankOutlet } from '../../../server/works/tank/outlet-store.ts'
import { listTanks } from '../../../server/works/tank/store.ts'
import { signInAgain } from '../../water/support.ts'
import { bookWithTank } from '../../works/tank-book.ts'
import { TODAY } from '../book.ts'

type Book = Awaited<ReturnType<typeof bookWithTank>>

const read = ({ writing, pumpId }: Book, onDate: string, moment: 'dawn' | 'dusk', meterM3: number) =>
  writing((pen) => {
    const row = { pumpId, onDate, moment, meterM3, atTime: moment === 'dawn' ? '06:00' : '17:00' }
    const head = { kind: 'pump-day-reading', happenedAt: `${onDate}T${moment === 'dawn' ? '03' : '14'}:00:00.000Z` }
    return appendEntry(pen, head, { pumpDayReading: [{ ...row, hourMeterH: null, remark: null }] })
  })

const draw = ({ writing, weirId, pumpId, outletId, plotId }: Book, onDate: string, startTime: string, volumeM3 = 1) =>
  writing((pen) =>
    addAbstraction(pen, {
      ...{ onDate, use: 'irrigation', weirId, pumpId, outletId, plotId, turnId: null, takerId: null, method: 'hours' },
      ...{ openingM3: null, closingM3: null, hours: 1, flowM3PerH: volumeM3, startTime, endTime: null },
      ...{ volumeM3, uncertaintyM3: 0.1, grade: 'estimated', remark: null },
    }),
  )

const ofWeek = async ({ db }: Book) => (await pumpWater(db, { fromOn: '2026-06-01', toOn: '2026-06-07' })).pumps[0]!

it('a draw of the tank on the day after a week is none of the week, unless it ran before the dawn of that day', async () => {
  const book = await bookWithTank()
  const tankId = (await listTanks(book.db))[0]!.id
  await book.writing((pen) =>
    setTankOutlet(pen, { outletId: book.outletId as Id<'outlet'>, tankId, fromOn: '2026-06-01' }),
  )
  await draw(book, '2026-06-05', '08:00')
  await draw(book, '2026-06-08', '08:00')
  expect((await ofWeek(book)).daysLeftOut).toEqual(['2026-06-05'])
})

it('what a meter showed on the evening after a week ends no day of it', async () => {
  const book = await bookWithTank()
  await read(book, '2026-06-07', 'dawn', 100)
  await read(book, '2026-06-08', 'dawn', 110)
  await read(book, '2026-06-08', 'dusk', 150)
  expect((await ofWeek(book)).balance.pumpedM3).toBe(10)
})

it('ten days of a meter, and not nine, tell how much more it showed than the log', async () => {
  const book = await bookWithTank()
  for (let day = 0; day < 10; day += 1) {
    await read(book, addDays('2026-06-01', day), 'dawn', 100 + 3 * day)
    await draw(book, addDays('2026-06-01', day), '09:00', 2)
  }
  const times = (toOn: string) => metersOverLog(book.db, book.weirId as Id<'weir'>, { fromOn: '2026-06-01', toOn })
  expect(await times('2026-06-09')).toBeNull()
  await read(book, TODAY, 'dawn', 130)
  // 30 m3 passed the meter in ten days, and 20 were written.
  expect(await times('2026-06-10')).toBe(1.5)
})

it('a week that ends today leads to no week to come, and one that ended yesterday to this one', async () => {
  const book = await bookWithTank()
  const next = async () => (await book.ada.open('/log/working/pumps')).html.querySelector('main a[rel="next"]') !== null
  book.setNow('2026-06-14T14:00:00Z')
  await signInAgain(book.ada)
  expect(await next()).toBe(false)
  const before = await book.ada.open('/log/working/pumps?week=2026-06-07')
  expect(before.html.querySelector('main a[rel="next"]')!.getAttribute('href')).toBe(
    '/log/working/pumps?week=2026-06-08',
  )
})
