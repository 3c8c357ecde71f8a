import { describe, expect, it } from 'vitest'
import { appendEntry, type Pen } from '../../server/database/entries.ts'
import { standing } from '../../server/database/standing.ts'
import { startedBook } from '../support/book.ts'

describe('what stands', () => {
  it('is the correction written last, where two devices corrected the same entry', async () => {
    const { db } = await startedBook()
    const plotless = { late_rain_on: '2026-11-01', from_on: '2026-06-01' }
    const mm = await db.transaction().execute(async (trx) => {
      const { entry_id: writtenBy } = await trx.selectFrom('person').select('entry_id').executeTakeFirstOrThrow()
      const pen = (at: string): Pen => ({ trx, writtenBy, writtenAt: `2026-06-05T${at}:00.000Z` })
      const write = (at: string, wet_rain_mm: number, correctsId?: string) =>
        appendEntry(
          pen(at),
          { kind: 'water-setting', correctsId, reason: correctsId ? 'misread' : null },
          { water_setting: [{ ...plotless, wet_rain_mm }] },
        )
      const first = await write('06:00', 10)
      await write('07:30', 12, first)
      await write('07:00', 11, first)
      return trx.selectFrom('water_setting').select('wet_rain_mm').where(standing('water_setting')).execute()
    })
    expect(mm).toEqual([{ wet_rain_mm: 12 }])
  })
})
