import { beforeAll, describe, expect, it } from 'vitest'
import { appendEntry } from '../../server/book/entries.ts'
import { openValley } from '../support/valley.ts'
import type { Visitor } from '../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
let goro: Visitor
let drawId: string
beforeAll(async () => {
  valley = await openValley()
  goro = await valley.signIn('goro')
  const drawn = await valley.db
    .selectFrom('abstraction')
    .select(['entryId', 'openingM3'])
    .where('openingM3', 'is not', null)
    .orderBy('onDate', 'desc')
    .executeTakeFirstOrThrow()
  drawId = drawn.entryId
  const closing = String(drawn.openingM3! + 0.5)
  await (await valley.signIn('dovi')).fill(`/log/lines/drawn/${drawId}/correct`, {
    closing,
    reason: 'a seven, not a one',
  })
})

async function idOf(name: string): Promise<string> {
  const row = await valley.db.selectFrom('person').select('entryId').where('name', '=', name).executeTakeFirstOrThrow()
  return row.entryId
}

describe('the changes of a person', () => {
  it('are counted by person, and a plain line is no change', async () => {
    const page = await goro.open('/paper/changes')
    const rows = page.html.querySelectorAll('.list a').map(({ text }) => text.replace(/\s+/g, ' ').trim())
    expect(rows).toEqual([expect.stringMatching(/Dovi Marrok 1$/)])
  })

  it('stand with day, kind and reason, and open to the old line', async () => {
    const page = await goro.open(`/paper/changes?by=${await idOf('Dovi Marrok')}`)
    expect(page.words).toMatch(/A line of the log.*a seven, not a one/)
    const old = await goro.open(page.html.querySelector('.list a')!.getAttribute('href')!)
    expect([old.status, old.path]).toEqual([200, `/log/lines/drawn/${drawId}`])
    expect((await goro.open('/paper/changes?by=nobody')).status).toBe(404)
  })

  it('leave out what somebody was reproached with for whoever does not hear such matters', async () => {
    const writtenBy = await idOf('Chandu Perle')
    await valley.db.transaction().execute(async (trx) => {
      const pen = { trx, writtenBy, writtenAt: '2026-11-25T18:00:00.000Z' }
      const heard = await trx.selectFrom('levelReading').select('entryId').limit(2).execute()
      for (const [at, kind] of ['warning-ruled', 'complaint-heard'].entries())
        await appendEntry(pen, { kind, correctsId: heard[at]!.entryId, reason: 'the valve was broken' }, {})
    })
    const shown = async (name: string) => (await (await valley.signIn(name)).open('/paper/changes')).words
    expect(await shown('goro')).toContain('Chandu Perle')
    expect(await shown('fanta')).not.toContain('Chandu Perle')
    expect(await shown('fanta')).toContain('Dovi Marrok')
  })

  it('are for whoever goes over the books', async () => {
    for (const name of ['dovi', 'amaru', 'hila', 'isko'])
      expect([name, (await (await valley.signIn(name)).open('/paper/changes')).status]).toEqual([name, 403])
  })
})
