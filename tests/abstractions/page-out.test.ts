import { parse } from 'csv-parse/sync'
import { describe, expect, it } from 'vitest'
import { openValley } from '../support/valley.ts'

describe('the book goes out again', () => {
  it('gives every register to the auditor as a list that other programs read back, rows and columns whole', async () => {
    const { signIn, db } = await openValley()
    const auditor = await signIn('goro')
    const page = await auditor.open('/book/lists')
    const doors = page.html.querySelectorAll('.marks a').map((door) => door.getAttribute('href')!)
    expect(doors.length).toBeGreaterThan(60)
    for (const door of doors) {
      const answer = await auditor.agent.get(door).buffer(true)
      const rows = parse(answer.text, { bom: true })
      const table = door.slice('/book/lists/'.length, -'.csv'.length)
      const kept = await db
        .selectFrom(table as 'abstraction')
        .select('entry_id')
        .execute()
      expect([door, rows.length]).toEqual([door, kept.length + 1])
    }
  }, 60_000)

  it('keeps money and doors from an attendant, and all lists from a neighbour', async () => {
    const { signIn } = await openValley()
    const attendant = await signIn('dovi')
    const doors = (await attendant.open('/book/lists')).words
    expect(doors).toContain('abstraction')
    expect(doors).not.toMatch(/transfer|credential|receipt|session/)
    expect((await attendant.open('/book/lists/transfer.csv')).status).toBe(404)
    expect((await attendant.open('/book/lists/credential.csv')).status).toBe(404)
    expect((await (await signIn('isko')).open('/book/lists')).status).toBe(403)
  })

  it('prints the water side of the season whole, without money', async () => {
    const { signIn, db } = await openValley()
    const page = await (await signIn('isko')).open('/book/print')
    const captions = page.html.querySelectorAll('caption').map((caption) => caption.text)
    const draws = await db.selectFrom('abstraction').select('entry_id').execute()
    expect(captions).toContain(`${new Intl.NumberFormat('en').format(draws.length)} lines`)
    expect(page.words).not.toMatch(/XOF/)
    expect(page.words).not.toMatch(/undefined|NaN|null/)
  })
})
