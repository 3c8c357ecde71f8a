import { beforeEach, describe, expect, it } from 'vitest'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { setRoles } from '../../../server/people/person/store.ts'
import type { Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'

const FINE = {
  ...{ rule: 'rule 9', fact: 'valve 3 open', heardOn: '2026-06-03', hearing: 'forgot to close it' },
  ...{ amount: '25', lapseOn: '2026-06-20' },
}

describe('a fine that was charged', () => {
  let book: MoneyBook
  let tomo: Visitor
  let path: string

  beforeEach(async () => {
    book = await moneyBook()
    await book.as('Ada', (pen) => setRoles(pen, book.ids.Chidi as never, ['committee'], '2026-06-04'))
    tomo = await book.signedIn('Tomo')
    const fine = { ...FINE, personId: book.ids.Bela, reason: 'by the meeting' }
    ;({ path } = await tomo.fill('/money/fine', fine))
    await book.ada.fill(path, {}, { action: path })
  })

  const appealed = async () => {
    const appeal = { decidedBy: 'the elders', words: 'the valve does not close' }
    await (await book.signedIn('Bela')).fill(path, appeal, { action: `${path}/appeal` })
  }
  const lifted = async () => {
    const way = { way: 'lifted', words: 'minute 12' }
    return (await book.signedIn('Chidi')).fill(path, way, { action: `${path}/decision` })
  }
  /** The lighter step that is offered instead of another fine without a reason. */
  const offered = async () => {
    const page = await tomo.fill('/money/fine', { ...FINE, personId: book.ids.Bela, heardOn: '2026-06-04' })
    return page.html.querySelector('#reason-error')?.text ?? null
  }

  it('counts on the ladder until it is lifted, and then no more', async () => {
    await appealed()
    const before = await offered()
    await lifted()
    expect([before, await offered()]).toEqual([null, expect.stringContaining('a word first')])
  })

  it('and lapsed while it is under appeal is taken back once, however that is decided', async () => {
    await appealed()
    book.setNow('2026-06-20T05:00:00Z')
    tomo = await book.signedIn('Tomo')
    await tomo.fill(path, {}, { action: `${path}/back` })
    expect((await lifted()).status).toBe(200)
    expect((await listTransfers(book.db)).map(({ kind }) => kind)).toEqual(['fine', 'correction'])
    expect(told(await tomo.open(path))).toContain('the elders lifted it: minute 12')
  })
})

describe('what an account stood at before the book, taken off a debt by one name', () => {
  it.each([
    ['before anything else was written', [], true],
    ['after another such line', ['opening'], true],
    ['after another such line and a payment', ['opening', 'receipt'], false],
  ])('%s is taken: %s', async (_when, lines: string[], isTaken) => {
    const book = await moneyBook()
    book.setNow('2026-07-10T05:00:00Z')
    const tomo = await book.signedIn('Tomo')
    const opening = async (name: 'Bela' | 'Chidi', side: string) => {
      const form = await tomo.open('/money/settle/from-before')
      const accountId = form.html.querySelectorAll('#accountId option').find(({ text }) => text.includes(name))!
      return tomo.send(form, { accountId: accountId.getAttribute('value')!, side, amount: '40', words: 'old book' })
    }
    if (lines.includes('opening')) await opening('Chidi', 'held-or-to-pay')
    if (lines.includes('receipt'))
      await tomo.fill('/money/pay', { payerId: book.ids.Chidi, amount: '10', column: 'cash' })
    const page = await opening('Bela', 'ahead-or-less')
    expect([page.status, page.html.querySelector('#side-error') === null]).toEqual([isTaken ? 200 : 422, isTaken])
  })
})
