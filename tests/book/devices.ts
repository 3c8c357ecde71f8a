import { addAbstraction, type NewAbstraction } from '../../server/abstractions/draw/store.ts'
import type { Pen } from '../../server/book/entries.ts'
import { mergeBooks } from '../../server/book/merge/merge.ts'
import { readBook } from '../../server/book/merge/whole-entry.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { abstractionsBook, TODAY } from '../abstractions/book.ts'
import { openEmpty } from '../support/book.ts'
import { serialized } from '../support/serialized.ts'

/** Devices that begin with the same book, as they do when its file is copied, and what they write. */
export async function devices() {
  const book = await abstractionsBook()
  const { weirId, pumpId, outletId, plotId, adaId } = book
  const draw = (): NewAbstraction => ({
    ...{ onDate: TODAY, use: 'irrigation', weirId, pumpId, outletId, plotId, turnId: null, takerId: null },
    ...{ method: 'meter', openingM3: 10, closingM3: 12, hours: null, flowM3PerH: null },
    ...{ startTime: '08:00', endTime: '09:00', volumeM3: 2, uncertaintyM3: 0.1, grade: 'measured', remark: null },
  })
  const first = await book.writing((pen) => addAbstraction(pen, { ...draw(), startTime: '06:00', endTime: '07:00' }))
  const base = await serialized(book.db)
  return {
    /** A draw that every device knows. */
    first,
    draw,
    ids: { weirId, pumpId },
    device: () => openDatabase(base),
    pen: <T>(db: Database, work: (pen: Pen) => Promise<T>, writtenAt = '2026-06-11T14:30:00.000Z') =>
      db.transaction().execute((trx) => work({ trx, writtenBy: adaId, writtenAt })),
  }
}

export async function joined(one: Database, other: Database) {
  const into = await openEmpty()
  return { into, merge: await mergeBooks({ one, other, into }) }
}

export const slip = (slipNo: number) => ({ sky: null, standIn: null, slipNo, events: [], tool: null, seconds: [] })
export const MEMBER = { phone: null, signInName: null, roles: ['member'], passwordHash: null }

/** Everything about the entries but their place in one book. */
export async function entriesOf(db: Database) {
  const whole = await readBook(db)
  const told = whole.map(({ entry: { seq: _s, hash: _h, previousHash: _p, ...entry }, facts }) => {
    return JSON.stringify([entry, facts.map((fact) => JSON.stringify(fact)).toSorted()])
  })
  return told.toSorted()
}
