import { beforeEach, describe, expect, it } from 'vitest'
import { appendEntry } from '../../../server/book/entries.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { setRoles } from '../../../server/people/person/store.ts'
import { sentUnasked, TOO_LATE } from '../../laws/told.ts'
import { OWN_GROUP } from '../../support/book.ts'
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

  it('and lapsed half paid while it is under appeal gives back the paid half too once it is lifted', async () => {
    await tomo.fill('/money/pay', { payerId: book.ids.Bela, amount: '10', column: 'cash' })
    await appealed()
    book.setNow('2026-06-20T05:00:00Z')
    tomo = await book.signedIn('Tomo')
    await tomo.fill(path, {}, { action: `${path}/back` })
    await lifted()
    const given = (await listTransfers(book.db)).flatMap((one) => (one.kind === 'correction' ? [one.amountMinor] : []))
    expect(given).toEqual([1500, 1000])
    expect(told(await tomo.open(`/money/members/${book.ids.Bela}`))).toContain('KES 10.00 paid ahead')
  })

  it.each([
    [25, 0],
    [10, 15],
    [0, 25],
  ])('and of which %d was paid gives back no more than the %d that lapsed', async (paid, lapsed) => {
    if (paid > 0) await tomo.fill('/money/pay', { payerId: book.ids.Bela, amount: String(paid), column: 'cash' })
    book.setNow('2026-06-20T05:00:00Z')
    tomo = await book.signedIn('Tomo')
    const page = await tomo.open(path)
    expect(page.html.querySelector('form[action$="/back"]') !== null).toBe(lapsed > 0)
    const back = await sentUnasked(book, tomo, { keysOf: '/money/pay', to: `${path}/back` })
    expect(back).toMatchObject(lapsed > 0 ? { status: 200, written: 1 } : TOO_LATE)
    const given = (await listTransfers(book.db)).flatMap(({ kind, amountMinor }) =>
      kind === 'correction' ? [amountMinor / 100] : [],
    )
    expect(given).toEqual(lapsed > 0 ? [lapsed] : [])
  })

  it('is neither lifted nor taken back by somebody of the same household, once the book is no longer new', async () => {
    const personIds = [book.ids.Bela, book.ids.Chidi, book.ids.Tomo]
    const livesTogether = personIds.map((personId) => ({ personId, fromOn: '2026-06-04' }))
    book.setNow('2026-07-10T05:00:00Z')
    tomo = await book.signedIn('Tomo')
    const fine = { ...FINE, heardOn: '2026-07-09', lapseOn: '2026-08-20', reason: 'by the meeting' }
    const { path: own } = await tomo.fill('/money/fine', { ...fine, personId: book.ids.Bela })
    const ada = book.visitor()
    await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
    await ada.fill(own, {}, { action: own })
    const appeal = { decidedBy: 'the elders', words: 'the valve does not close' }
    await (await book.signedIn('Bela')).fill(own, appeal, { action: `${own}/appeal` })
    const chidi = await book.signedIn('Chidi')
    const asked = async () => (await chidi.open('/')).html.querySelector(`a[href="${own}"]`) !== null
    expect(await asked()).toBe(true)
    await book.as('Ada', (pen) => appendEntry(pen, { kind: 'lives-together' }, { livesTogether }))
    expect(await asked()).toBe(false)
    const lifts = { keysOf: '/turns/ask', to: `${own}/decision`, fields: { way: 'lifted', words: 'minute 12' } }
    expect((await sentUnasked(book, chidi, lifts)).written).toBe(0)
    book.setNow('2026-08-20T05:00:00Z')
    tomo = await book.signedIn('Tomo')
    expect((await tomo.open(own)).html.querySelector('form[action$="/back"]')).toBeNull()
    const back = await sentUnasked(book, tomo, { keysOf: '/money/pay', to: `${own}/back` })
    expect(back).toMatchObject({ ...TOO_LATE, words: expect.stringContaining('your own household') })
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
