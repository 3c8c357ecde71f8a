import type { Transaction } from 'kysely'
import { describe, expect, it } from 'vitest'
import { appendEntry, type Pen } from '../../server/book/entries.ts'
import { appendWhole } from '../../server/book/merge/whole-entry.ts'
import { standing } from '../../server/book/standing.ts'
import type { Schema } from '../../server/database/schema.ts'
import { startedBook } from '../support/book.ts'

const DATES = { lateRainOn: '2026-11-01', fromOn: '2026-06-01' }

describe('what stands', () => {
  it('is the correction written last, where two devices corrected the same entry', async () => {
    const { db } = await startedBook()
    const standingMm = await db.transaction().execute(async (trx) => {
      const { entryId: writtenBy } = await trx.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
      const pen: Pen = { trx, writtenBy, writtenAt: '2026-06-05T06:00:00.000Z' }
      const first = await appendEntry(pen, { kind: 'water-setting' }, { waterSetting: [{ ...DATES, wetRainMm: 10 }] })
      const other: Pen = { ...pen, writtenAt: '2026-06-05T07:30:00.000Z' }
      const head = { kind: 'water-setting', correctsId: first, reason: 'misread' }
      const later = await appendEntry(other, head, { waterSetting: [{ ...DATES, wetRainMm: 12 }] })
      await bringIn(trx, {
        like: later,
        id: 'fromtheotherbook',
        writtenAt: '2026-06-05T07:00:00.000Z',
        wetRainMm: 11,
      })
      return trx.selectFrom('waterSetting').select('wetRainMm').where(standing('waterSetting')).execute()
    })
    expect(standingMm).toEqual([{ wetRainMm: 12 }])
  })
})

/** The rival correction as a merge appends it. */
async function bringIn(
  trx: Transaction<Schema>,
  rival: { like: string; id: string; writtenAt: string; wetRainMm: number },
): Promise<void> {
  const entry = await trx.selectFrom('entry').selectAll().where('id', '=', rival.like).executeTakeFirstOrThrow()
  const row = { ...DATES, entryId: rival.id, wetRainMm: rival.wetRainMm }
  await appendWhole(trx, {
    entry: { ...entry, id: rival.id, writtenAt: rival.writtenAt },
    facts: [['waterSetting', row]],
  })
}
