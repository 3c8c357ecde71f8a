import fc from 'fast-check'
import { beforeAll, describe, expect, it } from 'vitest'
import { pumpWater } from '../../server/abstractions/balance/pump-balance-store.ts'
import { addAbstraction } from '../../server/abstractions/draw/store.ts'
import { answers } from '../../server/answers.ts'
import { appendEntry, type Pen } from '../../server/book/entries.ts'
import { listClashes } from '../../server/book/merge/clash-store.ts'
import { endOfBook, findHash, verifyBook } from '../../server/book/verify.ts'
import type { Database } from '../../server/database/connection.ts'
import { currentGroup } from '../../server/people/group/store.ts'
import { addPerson } from '../../server/people/person/store.ts'
import { seasonBalance } from '../../server/water/balance/state.ts'
import { addDawnLevel, TODAY } from '../abstractions/book.ts'
import { runs } from '../support/runs.ts'
import { devices, entriesOf, joined, MEMBER, slip } from './devices.ts'

let book: Awaited<ReturnType<typeof devices>>
beforeAll(async () => {
  book = await devices()
})
const device = () => book.device()
const draw = () => book.draw()
const pen: (typeof book)['pen'] = (...written) => book.pen(...written)

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
    const row = {
      pumpId: book.ids.pumpId,
      onDate: day(act.day),
      atTime: '06:00',
      moment: 'dawn',
      meterM3: act.meter,
    }
    return appendEntry(
      p,
      { kind: 'pump-day-reading' },
      { pumpDayReading: [{ ...row, hourMeterH: null, remark: null }] },
    )
  }
  if (act.kind === 'level') return addDawnLevel(p, book.ids.weirId, day(act.day), act.depth)
  if (act.kind === 'person') return addPerson(p, { ...MEMBER, number: act.number, name: `N ${act.number}` }, TODAY)
  return addAbstraction(p, { ...draw(), volumeM3: act.volume }, { correctsId: book.first, reason: 'looked again' })
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
      runs(25),
    )
  })
})

async function balances(db: Database) {
  const span = { fromOn: '2026-06-01', toOn: TODAY }
  const group = (await currentGroup(db))!
  return [await pumpWater(db, span), await seasonBalance(db, answers.water, { group, on: TODAY })]
}
