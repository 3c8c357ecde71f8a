import { type RawBuilder, sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { appendEntry } from '../../../server/book/entries.ts'
import { hashOfEntry } from '../../../server/book/entry-hash.ts'
import { openOtherBook } from '../../../server/book/joining/other-book.ts'
import { readBook } from '../../../server/book/merge/whole-entry.ts'
import { endOfBook } from '../../../server/book/verify.ts'
import { type Database, openDatabase } from '../../../server/database/connection.ts'
import { recordPayment } from '../../../server/fees/receipt/store.ts'
import { loadLocale } from '../../../server/web/figures/locale.ts'
import { serialized } from '../../support/serialized.ts'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const NOW = new Date('2026-11-25T10:00:00Z')
let valley: Awaited<ReturnType<typeof openValley>>
let bytes: Buffer
let writtenBy: string
beforeAll(async () => {
  valley = await openValley()
  bytes = await serialized(valley.db)
  writtenBy = (await valley.db.selectFrom('person').select('entryId').where('number', '=', 1).executeTakeFirstOrThrow())
    .entryId
})

const raw = (db: Database, ...steps: RawBuilder<unknown>[]) =>
  steps.reduce(
    (before, step) => before.then(() => step.execute(db)).then(() => undefined),
    Promise.resolve<undefined>(undefined),
  )

/** An entry with a chain that fits, as the other device’s own program would write it. */
const written = (db: Database, writtenAt: string, onDate = '2026-11-24') =>
  db
    .transaction()
    .execute((trx) =>
      appendEntry(
        { trx, writtenBy, writtenAt },
        { kind: 'weather-day' },
        { weatherDay: [{ onDate, rainMm: 1 } as never] },
      ),
    )

/** The same with facts that no program writes under this kind: the entry is worked out anew as a forger would. */
async function disguised(db: Database, kind: string) {
  await raw(db, sql`drop trigger entry_no_update`)
  await written(db, '2026-11-24T10:00:00.000Z')
  const [whole] = (await readBook(db)).slice(-1)
  const entry = { ...whole!.entry, kind }
  const hash = hashOfEntry(entry, whole!.facts)
  await db.updateTable('entry').set({ kind, hash }).where('id', '=', entry.id).execute()
  await raw(
    db,
    sql`create trigger entry_no_update before update on entry
           begin select raise(abort, 'entry is append-only'); end`,
  )
}

const FORGED: [name: string, code: string, forge: (db: Database) => Promise<unknown>][] = [
  ['a moment of writing in the year 9999', 'merge-moment', (db) => written(db, '9999-01-01T00:00:00.000Z')],
  ['a moment of writing next month', 'merge-moment', (db) => written(db, '2026-12-25T00:00:00.000Z')],
  ['a moment that is none', 'merge-moment', (db) => written(db, 'yesterday')],
  ['a day that is none', 'merge-moment', (db) => written(db, '2026-11-24T10:00:00.000Z', '2026-02-30')],
  ['a day in the year 0203', 'merge-moment', (db) => written(db, '2026-11-24T10:00:00.000Z', '0203-04-05')],
  ['weather that calls itself a level', 'merge-changed', (db) => disguised(db, 'level-reading')],
  ['weather that calls itself something unknown', 'merge-changed', (db) => disguised(db, 'weather')],
  ['a newer version', 'merge-newer', (db) => raw(db, sql`insert into kysely_migration values ('9000-next', '2026')`)],
  [
    'a trigger of its own',
    'merge-changed',
    (db) => raw(db, sql`create trigger mine after insert on entry begin delete from session; end`),
  ],
]

describe('the book of another device', () => {
  it('is taken where nothing is wrong with it', async () => {
    await (await openOtherBook(bytes, NOW)).destroy()
  })

  it.each(FORGED)('with %s is refused with a sentence', async (_, code, forge) => {
    const db = openDatabase(bytes)
    await forge(db)
    const error = await openOtherBook(await serialized(db), NOW).catch((refused) => refused)
    expect(error).toMatchObject({ code })
    expect(loadLocale('en').t(`error.${code}`, error.values)).not.toMatch(/undefined|\{/)
    await db.destroy()
  })

  it('with a trigger written anew to the word is taken, so that what is refused above is the kind alone', async () => {
    const db = openDatabase(bytes)
    await disguised(db, 'weather-day')
    await (await openOtherBook(await serialized(db), NOW)).destroy()
    await db.destroy()
  })

  it.each([0.3, 0.6, 0.9])('cut off or overwritten at %d of its length is refused with a sentence', async (part) => {
    const at = Math.floor(bytes.length * part)
    const torn = Buffer.concat([bytes.subarray(0, at), Buffer.alloc(60_000, 0xa5), bytes.subarray(at + 60_000)])
    for (const damaged of [bytes.subarray(0, at), torn]) {
      const error = await openOtherBook(damaged, NOW).catch((refused) => refused)
      expect(error.code).toMatch(/^merge-(damaged|no-book|changed)$/)
    }
  })

  it('shows by writer and kind what it brings before anything is taken', async () => {
    const there = openDatabase(bytes)
    await written(there, '2026-11-24T22:00:00.000Z')
    const payer = await there
      .selectFrom('person')
      .select('entryId')
      .where('signInName', '=', 'hila')
      .executeTakeFirstOrThrow()
    const pen = { writtenBy: payer.entryId, writtenAt: '2026-11-24T22:10:00.000Z' }
    for (const amountMinor of [250, 1500])
      await there.transaction().execute((trx) => {
        const payment = { personId: payer.entryId, amountMinor, column: 'cash', onDate: '2026-11-24' } as const
        return recordPayment({ trx, ...pen }, payment)
      })
    const before = await endOfBook(valley.db)
    const amaru = await valley.signIn('amaru')
    const preview = await bring(amaru, await serialized(there))
    const { name } = await valley.db
      .selectFrom('person')
      .select('name')
      .where('number', '=', 1)
      .executeTakeFirstOrThrow()
    expect(preview.words).toContain('What it brings, by who wrote it')
    expect(preview.words).toMatch(new RegExp(`${name} 1 × `))
    expect(preview.words).toMatch(/Hila Quarm 2 × payment \([^)]*\): XOF\s1,750 in all/)
    expect(await endOfBook(valley.db)).toEqual(before)
  })
})

async function bring(visitor: Visitor, book: Buffer) {
  const form = (await visitor.open('/book/join')).html.querySelector('main form')!
  const keyed = (name: string) => form.querySelector(`[name=${name}]`)!.getAttribute('value')!
  const answer = await visitor.agent
    .post('/book/join?as=look')
    .field('_csrf', keyed('_csrf'))
    .field('_form', keyed('_form'))
    .attach('book', book, 'other.sqlite')
  return visitor.read(answer, '/book/join?as=look')
}
