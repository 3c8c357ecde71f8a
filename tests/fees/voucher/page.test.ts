import { beforeEach, describe, expect, it } from 'vitest'
import { groupAccount } from '../../../server/fees/ledger/account-store.ts'
import { addTransfer, listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { payVoucher, stipendsPaid } from '../../../server/fees/voucher/store.ts'
import { loadLocale } from '../../../server/web/figures/locale.ts'
import { sentUnasked, TOO_LATE } from '../../laws/told.ts'
import { OWN_GROUP } from '../../support/book.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'

const VOUCHER = {
  payee: 'a smith at the ford',
  purpose: 'new gland for the valve',
  category: 'repairs',
  amount: '80',
  invoice: 'bill 12',
  column: 'cash',
}

describe('a voucher', () => {
  let book: MoneyBook
  let tomo: Visitor
  let goma: Visitor
  beforeEach(async () => {
    book = await moneyBook()
    const goma7 = { number: '7', name: 'Goma', signInName: 'goma', phone: '', password: 'one more long word' }
    await book.ada.fill('/people/new', { ...goma7, roles: ['committee'] })
    goma = book.visitor()
    await goma.fill('/sign-in', { signInName: 'goma', password: 'one more long word' })
    tomo = await book.signedIn('Tomo')
    const opening = await tomo.open('/money/settle/from-before')
    await tomo.send(opening, { accountId: optionValue(opening, 'accountId', 'cash'), amount: '500' })
  })

  const approve = (visitor: Visitor, path: string) => visitor.fill(path, {}, { action: path })

  it('that another device’s file says is paid without its names says so beside it', async () => {
    const { path } = await tomo.fill('/money/vouchers/new', VOUCHER)
    await approve(goma, path)
    const causeId = path.split('/').at(-1)!
    const [debitAccountId, creditAccountId] = [
      await groupAccount(book.db, 'costs'),
      await groupAccount(book.db, 'cash'),
    ]
    const moved = { debitAccountId, creditAccountId, amountMinor: 8000, onDate: '2026-06-04', words: 'voucher 1' }
    await book.as('Tomo', (pen) => addTransfer(pen, { kind: 'payout', ...moved }, {}, { transferCause: [{ causeId }] }))
    for (const at of [path, '/money/vouchers'])
      expect(told(await book.ada.open(at))).toContain('paid on 4 Jun 2026, written by Tomo; waits for one more name')
  })

  it('says to whoever puts a name under it which others have the same payee, amount and bill, or pay for the same days', async () => {
    const write = async (change: Record<string, string> = {}) =>
      (await tomo.fill('/money/vouchers/new', { ...VOUCHER, ...change })).path
    const alike = async (path: string) => {
      const shown = await book.ada.open(path)
      const notes = [...told(shown).matchAll(/Voucher (\d+) (?:has the same|pays the same person)/g)]
      // Each is one tap away.
      const doors = shown.html.querySelectorAll('main .note a[href^="/money/names/voucher/"]')
      expect(doors).toHaveLength(notes.length)
      return notes.map(([, number]) => number).join(', ') || null
    }
    const first = await write()
    expect(await alike(first)).toBeNull()
    const [again, thrice] = [await write({ payee: 'A smith at the ford ' }), await write()]
    const others = [
      await write({ amount: '81' }),
      await write({ invoice: 'bill 13' }),
      await write({ payee: 'the mason' }),
    ]
    expect([await alike(first), await alike(again), await alike(thrice)]).toEqual(['2, 3', '1, 3', '1, 2'])
    for (const path of others) expect(await alike(path)).toBeNull()
    const pay = (stipendFromOn: string, stipendToOn: string, amount: string) =>
      write({
        ...{ category: 'stipend', payee: 'Dela', stipendPersonId: book.ids.Dela, stipendDays: '2' },
        ...{ stipendFromOn, stipendToOn, amount },
      })
    const may = await pay('2026-05-01', '2026-05-31', '50')
    const june = await pay('2026-06-01', '2026-06-03', '50')
    expect([await alike(may), await alike(june)]).toEqual([null, null])
    const twice = await pay('2026-05-31', '2026-05-31', '10')
    expect([await alike(may), await alike(june), await alike(twice)]).toEqual(['9', null, '7'])
    book.setNow('2026-08-04T05:00:00Z')
    tomo = await book.signedIn('Tomo')
    await book.ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
    expect(await alike(await write())).toBeNull()
  })

  it('moves money only once two other people have put their names under it, and once', async () => {
    const voucher = await tomo.fill('/money/vouchers/new', VOUCHER)
    expect(told(voucher)).toContain('waits for 2 names')
    expect(voucher.html.querySelector('main form')).toBeNull()
    expect(told(await approve(book.ada, voucher.path))).toContain('waits for one more name')
    const isToPay = async () => (await tomo.open('/')).words.includes('Pay voucher 1')
    expect(await isToPay()).toBe(false)
    const [keysOf, to] = ['/money/vouchers/new', `${voucher.path}/pay`]
    const soon = await sentUnasked(book, tomo, { keysOf, to, fields: { onDate: '2026-06-04' } })
    expect(soon).toMatchObject({ ...TOO_LATE, words: expect.stringContaining('needs two names before it can be paid') })
    expect(told(await book.ada.open(voucher.path))).toContain('Your name stands under this already')
    expect(await listTransfers(book.db)).toHaveLength(1)
    await approve(goma, voucher.path)
    expect(await isToPay()).toBe(true)
    const ready = await tomo.open(voucher.path)
    // A payment of an earlier day would make counts of that day wrong after they were signed.
    const early = await tomo.send(ready, { onDate: '2026-06-03' })
    expect(early.html.querySelector('#onDate-error')?.text).toContain('had its names on 4 Jun 2026')
    const paid = await tomo.send(ready, {})
    expect(told(paid)).toContain('paid on 4 Jun 2026, written by Tomo')
    expect(await isToPay()).toBe(false)
    const again = await tomo.send(ready, { onDate: '2026-06-03' })
    expect(again.status).toBe(409)
    expect(told(await tomo.open('/money/cash-book'))).toMatch(/costs payout: voucher 1: new gland .* 80.00 420.00/)
    expect(told(await tomo.open('/money/vouchers'))).toMatch(/repairs 80.00 Together 80.00/)
    expect(told(await tomo.open('/money/agree?period=season'))).not.toContain('without a voucher')
  })

  it('larger than what its column holds is not paid', async () => {
    const voucher = await tomo.fill('/money/vouchers/new', { ...VOUCHER, amount: '501' })
    await approve(book.ada, voucher.path)
    await approve(goma, voucher.path)
    const refused = await tomo.fill(voucher.path, {})
    expect(refused.html.querySelector('#onDate-error')?.text).toContain('holds less than this voucher')
    expect(await listTransfers(book.db)).toHaveLength(1)
    const all = await tomo.fill('/money/vouchers/new', { ...VOUCHER, amount: '500' })
    await approve(book.ada, all.path)
    await approve(goma, all.path)
    expect(told(await tomo.fill(all.path, {}))).toContain('paid on 4 Jun 2026')
  })

  it('is not paid where another one, paid in the same moment, has taken the money', async () => {
    const ready = []
    for (const purpose of ['one', 'two', 'three']) {
      const voucher = await tomo.fill('/money/vouchers/new', { ...VOUCHER, purpose, amount: '300' })
      await approve(book.ada, voucher.path)
      await approve(goma, voucher.path)
      ready.push(await tomo.open(voucher.path))
    }
    const answers = await Promise.all(ready.map((page) => tomo.send(page, {})))
    expect(answers.filter(({ status }) => status === 200)).toHaveLength(1)
    for (const refused of answers.filter(({ status }) => status !== 200)) {
      expect(told(refused)).toContain('holds less than this voucher')
    }
    expect(told(await tomo.open('/money/cash-book'))).toContain('Held after 200.00')
  })

  it('reads what is held where it writes, so that two payouts at once cannot both leave', async () => {
    const ids = []
    for (const purpose of ['one', 'two']) {
      const { path } = await tomo.fill('/money/vouchers/new', { ...VOUCHER, purpose, amount: '300' })
      await approve(book.ada, path)
      await approve(goma, path)
      ids.push(path.split('/').at(-1)!)
    }
    const pay = (id: string) => book.as('Tomo', (pen) => payVoucher(pen, { id, onDate: '2026-06-04', words: 'paid' }))
    const results = await Promise.allSettled(ids.map(pay))
    expect(results.map(({ status }) => status)).toEqual(['fulfilled', 'rejected'])
    const { code } = (results[1] as PromiseRejectedResult).reason
    expect(code).toBe('not-enough-held')
    await expect(pay(ids[0]!)).rejects.toThrow('voucher-paid')
    // Whoever pressed second reads what happened meanwhile, and not that something was wrong with the form.
    for (const { has } of ['en', 'sw', 'pt'].map(loadLocale))
      expect([code, 'voucher-paid', 'voucher-needs-names'].map((one) => has(`error.${one}`))).toEqual([
        true,
        true,
        true,
      ])
  })

  it('for a stipend is put beside the days in the log, without a word against anybody', async () => {
    for (const onDate of ['2026-06-01', '2026-06-02']) await book.deliver({ onDate })
    const form = await tomo.open('/money/vouchers/new')
    const stipend = {
      ...{ ...VOUCHER, payee: 'Dela', category: 'stipend', purpose: 'pump days' },
      stipendPersonId: optionValue(form, 'stipendPersonId', 'Dela'),
      ...{ stipendFromOn: '2026-06-01', stipendToOn: '2026-06-04' },
    }
    const refused = await tomo.send(form, { ...stipend, stipendDays: '' })
    expect(refused.html.querySelector('#stipendDays-error')?.text).toContain('how many days are paid')
    const voucher = await tomo.fill('/money/vouchers/new', { ...stipend, stipendDays: '3' })
    expect(told(voucher)).toMatch(/3 days paid from 1 Jun 2026 to 4 Jun 2026; Dela wrote into the log on 2 days/)
    const right = await tomo.fill('/money/vouchers/new', { ...stipend, stipendDays: '2' })
    expect(told(right)).toContain('wrote into the log on as many days')
    for (const path of [voucher.path, right.path]) {
      await approve(book.ada, path)
      await approve(goma, path)
      await tomo.fill(path, {})
    }
    const seen = told(await tomo.open('/money/agree?period=month&on=2026-06-04'))
    expect(seen).toContain(
      'Voucher 1 pays 3 days; on 2 of them the log has an entry by the one who was paid, on 2 by anybody.',
    )
    expect(seen).not.toContain('Voucher 2')
    expect(seen).not.toContain('Dela')
    // A stretch that begins or ends on the day of the payment has it.
    const numbersPaid = async (from: string, to: string) =>
      (await stipendsPaid(book.db, { from, to })).map(({ number }) => number)
    expect(await numbersPaid('2026-06-04', '2026-06-30')).toEqual([1, 2])
    expect(await numbersPaid('2026-05-01', '2026-06-04')).toEqual([1, 2])
    expect(await numbersPaid('2026-06-05', '2026-06-30')).toEqual([])
    expect(await numbersPaid('2026-05-01', '2026-06-03')).toEqual([])
  })

  it('pays from the reserve for a replacement only', async () => {
    const refused = await tomo.fill('/money/vouchers/new', { ...VOUCHER, column: 'reserve' })
    expect(refused.html.querySelector('#column-error')?.text).toContain('kept for the replacement')
    const kept = { ...VOUCHER, column: 'reserve', category: 'replacement', amount: '120' }
    expect(told(await tomo.fill('/money/vouchers/new', kept))).toContain('replacement of pump or panels')
  })

  it('is not for members, and above the most cash to keep the page says how much', async () => {
    const bela = await book.signedIn('Bela')
    expect((await bela.open('/money/vouchers')).status).toBe(403)
    expect((await book.ada.open('/money/vouchers/new')).status).toBe(403)
    const page = await tomo.fill('/money/settle/most-cash', { limit: '200' })
    expect(told(page)).toContain('The box holds KES 300.00 more than the group keeps in cash')
  })
})
