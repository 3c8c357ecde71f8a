import { beforeAll, describe, expect, it } from 'vitest'
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

  it('are for whoever goes over the books', async () => {
    for (const name of ['dovi', 'amaru', 'hila', 'isko'])
      expect([name, (await (await valley.signIn(name)).open('/paper/changes')).status]).toEqual([name, 403])
  })
})
