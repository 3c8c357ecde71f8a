import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { addAbstraction, strikeAbstraction } from '../../server/abstractions/draw/store.ts'
import type { Pen } from '../../server/book/entries.ts'
import { listClashes, openClashes, settleClash } from '../../server/book/merge/clash-store.ts'
import { readParted } from '../../server/book/merge/parted.ts'
import { endOfBook, findHash, verifyBook } from '../../server/book/verify.ts'
import type { Database } from '../../server/database/connection.ts'
import { addPerson } from '../../server/people/person/store.ts'
import { addWeatherDay } from '../../server/water/weather/store.ts'
import { TODAY } from '../abstractions/book.ts'
import { startedBook } from '../support/book.ts'
import { devices, entriesOf, joined, MEMBER, slip } from './devices.ts'

let book: Awaited<ReturnType<typeof devices>>
beforeAll(async () => {
  book = await devices()
})
const device = () => book.device()
const draw = () => book.draw()
const pen: (typeof book)['pen'] = (...written) => book.pen(...written)

const kinds = async (db: Database) => (await listClashes(db)).map(({ kind }) => kind)

describe('two books of one group', () => {
  it('become one with every entry kept once, the same to the last hash whichever is named first', async () => {
    const [one, other] = [device(), device()]
    const times = (hour: number) => ({
      openingM3: hour,
      closingM3: hour + 2,
      startTime: `${hour}:00`,
      endTime: `${hour}:30`,
    })
    await pen(one, (p) => addAbstraction(p, { ...draw(), ...times(10) }), '2026-06-11T15:00:00.000Z')
    await pen(other, (p) => addAbstraction(p, { ...draw(), ...times(20) }), '2026-06-11T14:00:00.000Z')
    const [a, b] = [await joined(one, other), await joined(other, one)]
    expect(a.merge).toMatchObject({ onlyOne: 1, onlyOther: 1 })
    expect(a.merge.entries).toBe(a.merge.shared + 2)
    expect(a.merge.lastHash).toBe(b.merge.lastHash)
    expect(await listClashes(a.into)).toEqual([])
    expect(new Set(await entriesOf(a.into))).toEqual(new Set([...(await entriesOf(one)), ...(await entriesOf(other))]))
    expect((await verifyBook(a.into)).brokenAt).toBeNull()
    const again = await joined(a.into, other)
    expect(again.merge).toMatchObject({ onlyOther: 0, lastHash: a.merge.lastHash })
  })

  it('are one already when one only went on where the other ended', async () => {
    const [one, other] = [device(), device()]
    await pen(one, (p) => addWeatherDay(p, { onDate: TODAY, rainMm: 0 }))
    const { into, merge } = await joined(other, one)
    expect(merge.lastHash).toBe((await endOfBook(one)).lastHash)
    expect(await readParted(into)).toEqual([])
  })

  it('are found by every hash that was noted of them, at its place and with what came after it', async () => {
    const [one, other] = [device(), device()]
    for (const onDate of ['2026-06-08', '2026-06-09', TODAY])
      await pen(one, (p) => addWeatherDay(p, { onDate, rainMm: 0 }))
    const { into } = await joined(one, other)
    const hashes = (await into.selectFrom('entry').select('hash').orderBy('seq').execute()).map(({ hash }) => hash)
    const found = await Promise.all(hashes.map((hash) => findHash(into, hash.slice(0, 12))))
    const places = found.map((one) => one.at === 'here' && [one.entry, one.later])
    expect(places.slice(0, 2)).toEqual([
      [1, hashes.length - 1],
      [2, hashes.length - 2],
    ])
    expect(places.slice(-2)).toEqual([
      [hashes.length - 1, 1],
      [hashes.length, 0],
    ])
  })

  it('keep how either chain stood, so that a hash noted on a device is found and a change is seen', async () => {
    const [one, other] = [device(), device()]
    await pen(one, (p) => addWeatherDay(p, { onDate: TODAY, rainMm: 0 }), '2026-06-11T15:00:00.000Z')
    await pen(other, (p) => addAbstraction(p, draw()), '2026-06-11T14:00:00.000Z')
    const { into } = await joined(one, other)
    const { lastHash, entries } = await endOfBook(one)
    expect(await findHash(into, lastHash)).toMatchObject({ at: 'joined', entry: entries })
    expect(await findHash(into, (await endOfBook(into)).lastHash)).toMatchObject({ at: 'here', later: 0 })
    expect(await findHash(into, 'f'.repeat(64))).toEqual({ at: 'nowhere' })
    await sql`drop trigger parted_book_no_update`.execute(into)
    const told = await into.selectFrom('partedBook').select('entries').orderBy('headHash').executeTakeFirstOrThrow()
    const count = (entries: number) =>
      into.updateTable('partedBook').set({ entries }).where('entries', '=', told.entries)
    await count(told.entries + 1)
      .limit(1)
      .execute()
    expect((await verifyBook(into)).brokenAt?.kind).toBe('chain of a joined book')
    await sql`drop trigger parted_line_no_update`.execute(into)
    await into
      .updateTable('partedLine')
      .set({ wasHash: 'f'.repeat(64) })
      .where('place', '=', 0)
      .execute()
    expect((await verifyBook(into)).brokenAt?.kind).toBe('chain of a joined book')
  })

  it('keep every number that both gave, and list it', async () => {
    const [one, other] = [device(), device()]
    await pen(one, (p) => addPerson(p, { ...MEMBER, number: 50, name: 'Nuru' }, TODAY))
    await pen(other, (p) => addPerson(p, { ...MEMBER, number: 50, name: 'Sefu' }, TODAY))
    await expect(pen(one, (p) => addPerson(p, { ...MEMBER, number: 50, name: 'Tatu' }, TODAY))).rejects.toThrow('given')
    const { into } = await joined(one, other)
    const named = await into.selectFrom('person').select('name').where('number', '=', 50).execute()
    expect(named.map(({ name }) => name).toSorted()).toEqual(['Nuru', 'Sefu'])
    expect(await kinds(into)).toEqual(['same-number'])
    const later = pen(into, (p) => addPerson(p, { ...MEMBER, number: 50, name: 'Tatu' }, TODAY))
    await expect(later).rejects.toThrow('given already: person.number')
    expect((await verifyBook(into)).brokenAt).toBeNull()
  })

  it('keep both entries of the same outlet and time and propose the order of the slips', async () => {
    const [one, other] = [device(), device()]
    const late = await pen(one, (p) => addAbstraction(p, { ...draw(), more: slip(309) }))
    const half = { startTime: '08:30', endTime: '09:30', openingM3: 30, closingM3: 32 }
    const early = await pen(other, (p) => addAbstraction(p, { ...draw(), ...half, more: slip(308) }))
    await pen(one, (p) => addWeatherDay(p, { onDate: TODAY, rainMm: 0 }))
    await pen(other, (p) => addWeatherDay(p, { onDate: TODAY, rainMm: 3 }))
    const { into } = await joined(one, other)
    const clashes = await listClashes(into)
    expect(clashes.map(({ kind }) => kind).toSorted()).toEqual(['same-day-of-weather', 'same-outlet-same-time'])
    expect(clashes.find(({ kind }) => kind === 'same-outlet-same-time')?.entryIds).toEqual([early, late])
  })

  it('name the same stretch of a meter and the same row of paper', async () => {
    const [one, other] = [device(), device()]
    const at = (startTime: string, endTime: string, openingM3: number) => ({
      ...draw(),
      ...{ outletId: null, startTime, endTime, openingM3, closingM3: openingM3 + 4 },
    })
    const onPaper = (p: Pen): Pen => ({ ...p, paper: { page: '12', row: 3 } })
    await pen(one, (p) => addAbstraction(p, at('10:00', '11:00', 100)))
    await pen(other, (p) => addAbstraction(p, at('12:00', '13:00', 102)))
    await pen(one, (p) => addAbstraction(onPaper(p), at('14:00', '15:00', 200)))
    await pen(other, (p) => addAbstraction(onPaper(p), at('16:00', '17:00', 300)))
    const { into } = await joined(one, other)
    expect((await kinds(into)).toSorted()).toEqual(['same-meter-interval', 'same-paper-row'])
  })

  it('name an entry that was corrected on both, of which the one written last counts', async () => {
    const [one, other] = [device(), device()]
    const mended = await pen(one, (p) =>
      addAbstraction(p, { ...draw(), volumeM3: 3 }, { correctsId: book.first, reason: 'misread' }),
    )
    const struck = await pen(
      other,
      (p) => strikeAbstraction(p, { correctsId: book.first, reason: 'never ran' }),
      '2026-06-11T15:00:00.000Z',
    )
    const { into } = await joined(one, other)
    expect(await listClashes(into)).toMatchObject([{ kind: 'two-corrections', entryIds: [mended, struck] }])
  })

  it('keep a clash settled once a person has said that both stand, and know it through the next joining', async () => {
    const [one, other] = [device(), device()]
    for (const db of [one, other]) await pen(db, (p) => addWeatherDay(p, { onDate: TODAY, rainMm: 1 }))
    const { into } = await joined(one, other)
    const [clash] = await listClashes(into)
    await pen(into, (p) => settleClash(p, { ...clash!, words: 'two gauges' }), '2026-06-12T08:00:00.000Z')
    expect((await listClashes(into))[0]?.settled).toMatchObject({ words: 'two gauges', writerName: 'Ada' })
    await pen(other, (p) => addAbstraction(p, draw()), '2026-06-12T09:00:00.000Z')
    const later = await joined(into, other)
    expect((await verifyBook(later.into)).brokenAt).toBeNull()
    const clashes = await listClashes(later.into)
    expect(clashes).toHaveLength(1)
    expect(clashes[0]?.settled?.words).toBe('two gauges')
  })

  it.each([[[]], [[0]], [[1]], [[0, 1]]])(
    'leave a clash open while both entries of it stand, and not once %j are struck out',
    async (struck) => {
      const [one, other] = [device(), device()]
      for (const db of [one, other]) await pen(db, (p) => addAbstraction(p, { ...draw(), more: slip(400) }))
      const { into } = await joined(one, other)
      const ids = (await openClashes(into))[0]!.entryIds
      for (const at of struck)
        await pen(
          into,
          (p) => strikeAbstraction(p, { correctsId: ids[at]!, reason: 'written twice' }),
          '2026-06-12T08:00:00.000Z',
        )
      expect((await openClashes(into)).length > 0).toBe(struck.length === 0)
    },
  )

  it('are not joined when they are of two groups', async () => {
    const one = device()
    const stranger = await startedBook()
    await expect(joined(one, stranger.db)).rejects.toMatchObject({ code: 'merge-other-group' })
  })
})
