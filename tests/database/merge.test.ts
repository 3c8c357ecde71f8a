import fc from 'fast-check'
import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { addAbstraction, type NewAbstraction, strikeAbstraction } from '../../server/abstractions/abstraction-store.ts'
import { pumpWater } from '../../server/abstractions/pump-balance-book.ts'
import { seasonBalance } from '../../server/abstractions/season-balance.ts'
import { addWeatherDay } from '../../server/crops/weather-store.ts'
import { listClashes, settleClash } from '../../server/database/clash-store.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { appendEntry, type Pen } from '../../server/database/entries.ts'
import { mergeBooks, readBook } from '../../server/database/merge.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import { readParted } from '../../server/database/parted.ts'
import { endOfBook, findHash, verifyBook } from '../../server/database/verify.ts'
import { currentGroup } from '../../server/people/group-store.ts'
import { addPerson } from '../../server/people/person-store.ts'
import { publishWeek } from '../../server/rotation/week-store.ts'
import { abstractionsBook, addDawnLevel, TODAY } from '../abstractions/page-book.ts'
import { startedBook } from '../support/book.ts'
import { serialized } from '../support/serialized.ts'

type Ids = Pick<Awaited<ReturnType<typeof abstractionsBook>>, 'weirId' | 'pumpId' | 'outletId' | 'plotId' | 'adaId'>

let base: Buffer
let ids: Ids
/** A draw that both devices know. */
let first: string
beforeAll(async () => {
  const book = await abstractionsBook()
  ids = book
  first = await book.writing((pen) => addAbstraction(pen, { ...draw(), startTime: '06:00', endTime: '07:00' }))
  base = await serialized(book.db)
})

const device = () => openDatabase(base)

async function joined(one: Database, other: Database) {
  const into = openDatabase(':memory:')
  await migrateToLatest(into)
  return { into, merge: await mergeBooks({ one, other, into }) }
}

function pen<T>(db: Database, work: (pen: Pen) => Promise<T>, writtenAt = '2026-06-11T14:30:00.000Z') {
  return db.transaction().execute((trx) => work({ trx, writtenBy: ids.adaId, writtenAt }))
}

function draw(): NewAbstraction {
  const { weirId, pumpId, outletId, plotId } = ids
  return {
    ...{ onDate: TODAY, use: 'irrigation', weirId, pumpId, outletId, plotId, turnId: null, takerId: null },
    ...{ method: 'meter', openingM3: 10, closingM3: 12, hours: null, flowM3PerH: null },
    ...{ startTime: '08:00', endTime: '09:00', volumeM3: 2, uncertaintyM3: 0.1, grade: 'measured', remark: null },
  }
}

const slip = (slipNo: number) => ({ sky: null, standIn: null, slipNo, events: [], tool: null, seconds: [] })
const person = { phone: null, signInName: null, roles: ['member'], passwordHash: null }

/** Everything about the entries but their place in one book. */
async function entriesOf(db: Database) {
  const whole = await readBook(db)
  const told = whole.map(({ entry: { seq: _s, hash: _h, previous_hash: _p, ...entry }, facts }) => {
    return JSON.stringify([entry, facts.map((fact) => JSON.stringify(fact)).toSorted()])
  })
  return told.toSorted()
}

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

  it('keep how either chain stood, so that a hash noted on a device is found and a change is seen', async () => {
    const [one, other] = [device(), device()]
    await pen(one, (p) => addWeatherDay(p, { onDate: TODAY, rainMm: 0 }), '2026-06-11T15:00:00.000Z')
    await pen(other, (p) => addAbstraction(p, draw()), '2026-06-11T14:00:00.000Z')
    const { into } = await joined(one, other)
    const { lastHash, entries } = await endOfBook(one)
    expect(await findHash(into, lastHash)).toMatchObject({ at: 'joined', entry: entries })
    expect(await findHash(into, (await endOfBook(into)).lastHash)).toMatchObject({ at: 'here', later: 0 })
    expect(await findHash(into, 'f'.repeat(64))).toEqual({ at: 'nowhere' })
    await sql`drop trigger parted_line_no_update`.execute(into)
    await into
      .updateTable('parted_line')
      .set({ was_hash: 'f'.repeat(64) })
      .where('place', '=', 0)
      .execute()
    expect((await verifyBook(into)).brokenAt?.kind).toBe('chain of a joined book')
  })

  it('keep every number that both gave, and list it', async () => {
    const [one, other] = [device(), device()]
    await pen(one, (p) => addPerson(p, { ...person, number: 50, name: 'Nuru' }, TODAY))
    await pen(other, (p) => addPerson(p, { ...person, number: 50, name: 'Sefu' }, TODAY))
    await expect(pen(one, (p) => addPerson(p, { ...person, number: 50, name: 'Tatu' }, TODAY))).rejects.toThrow('given')
    const { into } = await joined(one, other)
    const named = await into.selectFrom('person').select('name').where('number', '=', 50).execute()
    expect(named.map(({ name }) => name).toSorted()).toEqual(['Nuru', 'Sefu'])
    expect(await kinds(into)).toEqual(['same-number'])
    const later = pen(into, (p) => addPerson(p, { ...person, number: 50, name: 'Tatu' }, TODAY))
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
      addAbstraction(p, { ...draw(), volumeM3: 3 }, { correctsId: first, reason: 'misread' }),
    )
    const struck = await pen(
      other,
      (p) => strikeAbstraction(p, { correctsId: first, reason: 'never ran' }),
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

  it('are not joined when both published the same week, nor when they are of two groups', async () => {
    const [one, other] = [device(), device()]
    const inputs = { weekStartOn: '2026-06-15' } as never
    for (const db of [one, other]) await pen(db, (p) => publishWeek(p, inputs, { turns: [] } as never))
    await expect(joined(one, other)).rejects.toMatchObject({ code: 'merge-same-week' })
    const stranger = await startedBook()
    await expect(joined(one, stranger.db)).rejects.toMatchObject({ code: 'merge-other-group' })
  })
})

const minute = fc.integer({ min: 0, max: 59 })
const action = fc.oneof(
  fc.record({
    kind: fc.constant('draw' as const),
    hour: fc.integer({ min: 6, max: 16 }),
    meter: fc.integer({ min: 20, max: 60 }),
  }),
  fc.record({
    kind: fc.constant('reading' as const),
    day: fc.integer({ min: 8, max: 11 }),
    meter: fc.integer({ min: 10, max: 99 }),
  }),
  fc.record({
    kind: fc.constant('level' as const),
    day: fc.integer({ min: 2, max: 10 }),
    depth: fc.integer({ min: 60, max: 120 }),
  }),
  fc.record({ kind: fc.constant('correct' as const), volume: fc.integer({ min: 1, max: 9 }) }),
  fc.record({ kind: fc.constant('person' as const), number: fc.integer({ min: 50, max: 53 }) }),
)
type Action = typeof action extends fc.Arbitrary<infer A> ? A : never
const history = fc.array(fc.record({ action, minute, length: fc.integer({ min: 1, max: 3 }) }), { maxLength: 8 })

async function live(db: Database, acts: readonly { action: Action; minute: number }[]) {
  for (const [at, { action: act, minute: past }] of acts.entries()) {
    const writtenAt = `2026-06-11T${String(10 + at).padStart(2, '0')}:${String(past).padStart(2, '0')}:00.000Z`
    await pen(db, (p) => done(p, act), writtenAt).catch((error: Error & { code?: string }) => {
      // On one device a number is given once and an entry corrected once.
      if (error.code !== 'already-corrected' && !error.message.startsWith('given already')) throw error
    })
  }
}

async function done(p: Pen, act: Action): Promise<unknown> {
  const day = (on: number) => `2026-06-${String(on).padStart(2, '0')}`
  if (act.kind === 'draw') {
    const times = {
      startTime: `${String(act.hour).padStart(2, '0')}:00`,
      endTime: `${String(act.hour).padStart(2, '0')}:50`,
    }
    return addAbstraction(p, {
      ...draw(),
      ...times,
      openingM3: act.meter,
      closingM3: act.meter + 2,
      more: slip(act.meter),
    })
  }
  if (act.kind === 'reading') {
    const row = { pump_id: ids.pumpId, on_date: day(act.day), at_time: '06:00', moment: 'dawn', meter_m3: act.meter }
    return appendEntry(
      p,
      { kind: 'pump-day-reading' },
      { pump_day_reading: [{ ...row, hour_meter_h: null, remark: null }] },
    )
  }
  if (act.kind === 'level') return addDawnLevel(p, ids.weirId, day(act.day), act.depth)
  if (act.kind === 'person') return addPerson(p, { ...person, number: act.number, name: `N ${act.number}` }, TODAY)
  return addAbstraction(p, { ...draw(), volumeM3: act.volume }, { correctsId: first, reason: 'looked again' })
}

describe('whatever two devices write while they are apart', () => {
  it('joins in either order into the same entries, the same hash, the same clashes and the same balance', async () => {
    await fc.assert(
      fc.asyncProperty(history, history, async (ones, others) => {
        const [one, other] = [device(), device()]
        await live(one, ones)
        await live(other, others)
        const [a, b] = [await joined(one, other), await joined(other, one)]
        expect(b.merge.lastHash).toBe(a.merge.lastHash)
        expect(await entriesOf(b.into)).toEqual(await entriesOf(a.into))
        expect(a.merge.entries).toBe(a.merge.shared + a.merge.onlyOne + a.merge.onlyOther)
        for (const { into } of [a, b]) expect((await verifyBook(into)).brokenAt).toBeNull()
        const told = async (db: Database) => (await listClashes(db)).map(({ kind, entryIds }) => [kind, entryIds])
        expect(await told(b.into)).toEqual(await told(a.into))
        expect(await balances(b.into)).toEqual(await balances(a.into))
        for (const db of [one, other])
          expect(await findHash(a.into, (await endOfBook(db)).lastHash)).not.toEqual({ at: 'nowhere' })
        await Promise.all([one, other, a.into, b.into].map((db) => db.destroy()))
      }),
      { numRuns: 25 },
    )
  })
})

async function balances(db: Database) {
  const span = { fromOn: '2026-06-01', toOn: TODAY }
  const group = (await currentGroup(db))!
  return [await pumpWater(db, span), await seasonBalance(db, { group, on: TODAY })]
}
