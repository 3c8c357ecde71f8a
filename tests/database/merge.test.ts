import { readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sql } from 'kysely'
import { afterEach, describe, expect, it } from 'vitest'
import { addAbstraction, type NewAbstraction, strikeAbstraction } from '../../server/abstractions/abstraction-store.ts'
import { addWeatherDay } from '../../server/crops/weather-store.ts'
import type { Database } from '../../server/database/connection.ts'
import { newId, type Pen } from '../../server/database/entries.ts'
import { mergeBook, readBook } from '../../server/database/merge.ts'
import { verifyBook } from '../../server/database/verify.ts'
import { abstractionsBook, TODAY } from '../abstractions/page-book.ts'
import { openBook, startedBook } from '../support/book.ts'

const files: string[] = []
afterEach(() => {
  for (const file of files.splice(0)) rmSync(file, { force: true })
})

/** Two devices that begin with the same book, as they do when its file is copied. */
async function twoDevices() {
  const { db, ...ids } = await abstractionsBook()
  const draw = drawOf(ids)
  const first = await pen(db, ids.adaId, (p) => addAbstraction(p, { ...draw, startTime: '06:00', endTime: '07:00' }))
  const copies = await Promise.all([0, 1, 2, 3].map(() => copyOf(db)))
  return { copies: copies as [Database, Database, Database, Database], first, draw, adaId: ids.adaId }
}

async function copyOf(db: Database): Promise<Database> {
  const file = join(tmpdir(), `commonweir-merge-${newId()}.sqlite`)
  files.push(file)
  await sql`vacuum into ${sql.lit(file)}`.execute(db)
  const kept = openBook(undefined, readFileSync(file))
  return (await kept).db
}

function pen<T>(
  db: Database,
  writtenBy: string,
  work: (pen: Pen) => Promise<T>,
  writtenAt = '2026-06-11T14:30:00.000Z',
) {
  return db.transaction().execute((trx) => work({ trx, writtenBy, writtenAt }))
}

function drawOf(ids: { weirId: string; pumpId: string; outletId: string; plotId: string }): NewAbstraction {
  const { weirId, pumpId, outletId, plotId } = ids
  return {
    ...{ onDate: TODAY, use: 'irrigation', weirId, pumpId, outletId, plotId, turnId: null, takerId: null },
    ...{
      method: 'meter',
      openingM3: 10,
      closingM3: 12,
      hours: null,
      flowM3PerH: null,
      startTime: '08:00',
      endTime: '09:00',
    },
    ...{ volumeM3: 2, uncertaintyM3: 0.1, grade: 'measured', remark: null },
  }
}

/** Everything about the entries but their place in one book. */
async function entriesOf(db: Database) {
  const whole = await readBook(db)
  const told = whole.map(({ entry: { seq: _s, hash: _h, previous_hash: _p, ...entry }, facts }) => {
    return JSON.stringify([entry, facts.map((fact) => JSON.stringify(fact)).toSorted()])
  })
  return told.toSorted()
}

describe('two books of one group', () => {
  it('become one with every entry kept once, whichever takes in the other, and the chain verifies', async () => {
    const { copies, draw, adaId } = await twoDevices()
    const [one, other, oneAgain, otherAgain] = copies
    for (const db of [one, oneAgain]) await pen(db, adaId, (p) => write(p, 'oneoneoneoneone1', 10))
    for (const db of [other, otherAgain]) await pen(db, adaId, (p) => write(p, 'otherotherother1', 20))
    async function write(p: Pen, id: string, openingM3: number) {
      const times = { startTime: `${openingM3}:00`, endTime: `${openingM3}:30` }
      await addAbstraction({ ...p, nextId: () => id }, { ...draw, openingM3, closingM3: openingM3 + 2, ...times })
    }
    const before = (await readBook(one)).length
    expect(await mergeBook(one, other)).toEqual({ added: 1, shared: before - 1, clashes: [] })
    expect(await mergeBook(otherAgain, oneAgain)).toMatchObject({ added: 1, clashes: [] })
    expect(await entriesOf(one)).toEqual(await entriesOf(otherAgain))
    expect(await verifyBook(one)).toEqual({ entries: before + 1, brokenAt: null })
    expect((await verifyBook(otherAgain)).brokenAt).toBeNull()
    expect((await mergeBook(one, other)).added).toBe(0)
  })

  it('keep both entries of the same outlet and time and propose the order of the slips', async () => {
    const { copies, draw, adaId } = await twoDevices()
    const [one, other] = copies
    const slip = (slipNo: number) => ({ sky: null, standIn: null, slipNo, events: [], tool: null, seconds: [] })
    const late = await pen(one, adaId, (p) => addAbstraction(p, { ...draw, more: slip(309) }))
    const early = await pen(other, adaId, (p) =>
      addAbstraction(p, { ...draw, startTime: '08:30', endTime: '09:30', more: slip(308) }),
    )
    await pen(one, adaId, (p) => addWeatherDay(p, { onDate: TODAY, rainMm: 0 }))
    await pen(other, adaId, (p) => addWeatherDay(p, { onDate: TODAY, rainMm: 3 }))
    const { clashes } = await mergeBook(one, other)
    expect(clashes).toHaveLength(2)
    expect(clashes).toContainEqual({ kind: 'same-outlet-same-time', entryIds: [early, late] })
    expect(clashes.map(({ kind }) => kind)).toContain('same-day-of-weather')
  })

  it('name an entry that was corrected on both', async () => {
    const { copies, first, draw, adaId } = await twoDevices()
    const [one, other] = copies
    const mended = await pen(one, adaId, (p) =>
      addAbstraction(p, { ...draw, volumeM3: 3 }, { correctsId: first, reason: 'misread' }),
    )
    const struck = await pen(
      other,
      adaId,
      (p) => strikeAbstraction(p, { correctsId: first, reason: 'never ran' }),
      '2026-06-11T15:00:00.000Z',
    )
    expect((await mergeBook(one, other)).clashes).toEqual([{ kind: 'two-corrections', entryIds: [mended, struck] }])
  })

  it('are not those of two groups, and then nothing is written', async () => {
    const { copies } = await twoDevices()
    const stranger = await startedBook()
    const before = await entriesOf(copies[0])
    await expect(mergeBook(copies[0], stranger.db)).rejects.toMatchObject({ code: 'merge-other-group' })
    expect(await entriesOf(copies[0])).toEqual(before)
  })
})
