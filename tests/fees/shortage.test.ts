import { beforeEach, describe, expect, it } from 'vitest'
import { optionValue, type Seen, type Visitor } from '../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from './book.ts'

const JUNE = '/money/agree?period=month&on=2026-06-04'
let book: MoneyBook
let tomo: Visitor
let count: Seen

/** A box that is KES 180 short on 4 June, counted by Tomo with Ines. */
beforeEach(async () => {
  book = await moneyBook()
  tomo = await book.signedIn('Tomo')
  const opening = await tomo.open('/money/settle/from-before')
  await tomo.send(opening, { accountId: optionValue(opening, 'accountId', 'cash'), amount: '500' })
  for (const [at, name] of ['Uma', 'Vito'].entries()) {
    const person = { number: String(20 + at), name, roles: ['committee'], signInName: name.toLowerCase(), phone: '' }
    await book.ada.fill('/people/new', { ...person, password: 'another long word' })
  }
  const form = await tomo.open('/money/count')
  count = await tomo.send(form, { counted: '320', secondId: optionValue(form, 'secondId', 'Ines') })
})

const signIn = async (name: string) => {
  const visitor = book.visitor()
  await visitor.fill('/sign-in', { signInName: name, password: 'another long word' })
  return visitor
}

async function nameWriteOff(visitor: Visitor): Promise<Seen> {
  const page = await visitor.open(count.path)
  const action = page.html.querySelector('form[action^="/money/names/count-words/"]')?.getAttribute('action')
  return action ? visitor.send(page, {}, action) : page
}

describe('a cash shortage', () => {
  it('is seen by the second counter before signing, and by the committee', async () => {
    const ines = await book.signedIn('Ines')
    const page = await ines.open(count.path)
    expect(told(page)).toContain('By the book it is: KES 180.00 short.')
    expect(told(await ines.send(page, {}, count.path))).toContain('Ines')
    expect(told(await book.ada.open(JUNE))).toContain('The cash is KES 180.00 short of the book.')
    expect((await (await book.signedIn('Bela')).open(count.path)).status).toBe(403)
  })

  it('goes on being told once it is explained, written off, and the book moved to the coins', async () => {
    await tomo.fill(count.path, { way: 'explained', words: 'nobody knows' })
    expect(told(await tomo.open(JUNE))).toContain('The cash is KES 180.00 short of the book.')
    const unminuted = await tomo.fill(count.path, { way: 'written-off', words: 'lost' })
    expect(unminuted.html.querySelector('#minute-error')?.text).toContain('number of the minute')
    await tomo.send(unminuted, { minute: '12' })
    // Not by a counter, not by one person twice, not by the writer.
    expect((await nameWriteOff(tomo)).status).toBe(200)
    expect(told(await nameWriteOff(book.ada))).toContain('waits for two names')
    expect(told(await nameWriteOff(book.ada))).toContain('waits for two names')
    expect(told(await tomo.open('/money/cash-book'))).toMatch(/Held after 500.00/)
    const done = told(await nameWriteOff(await signIn('uma')))
    expect(done).toMatch(/^.{0,40}KES 180.00 short/)
    expect(done).toContain('KES 180.00 written off by minute 12, with the names of Ada, Uma')
    expect(told(await tomo.open('/money/cash-book'))).toMatch(/Held after 320.00/)
    const month = told(await tomo.open(JUNE))
    expect(month).not.toContain('The cash is')
    expect(month).toContain('On 4 Jun 2026 the cash box was counted: KES 180.00 short.')
    const report = told(await book.ada.open('/money/report'))
    expect(report).toContain('last on 4 Jun 2026: KES 180.00 short.')
    expect(report).toContain('written off by minute 12')
  })

  it('is not hidden by what is written later about an earlier day; that is marked', async () => {
    const voucher = { payee: 'a smith', purpose: 'gland', category: 'repairs', amount: '180', column: 'cash' }
    const written = await tomo.fill('/money/vouchers/new', voucher)
    for (const officer of [book.ada, await signIn('uma')]) {
      await officer.fill(written.path, {}, { action: written.path })
    }
    await tomo.fill(written.path, { onDate: '2026-06-04' }, { action: `${written.path}/pay` })
    const page = told(await tomo.open(count.path))
    expect(page).toMatch(/^.{0,40}KES 180.00 short/)
    expect(page).toContain('By the book as it stands today: agrees to the last coin.')
    expect(page).toMatch(/KES 180.00 out, for 4 Jun 2026, written by Tomo/)
    expect(told(await tomo.open('/money/cash-book'))).toMatch(/gland written on .{5,40}, after the count of 4 Jun 2026/)
    const report = told(await book.ada.open('/money/report'))
    expect(report).toContain('last on 4 Jun 2026: KES 180.00 short.')
    expect(report).toContain('By the book as it stands today nothing of it is left open.')
  })

  it('is not written off twice, nor when something was found meanwhile', async () => {
    await tomo.fill(count.path, { way: 'written-off', minute: '12', words: 'lost' })
    const again = await tomo.fill(count.path, { way: 'written-off', minute: '12', words: 'lost' })
    expect(again.html.querySelector('#way-error')?.text).toContain('waits for its names already')
    await nameWriteOff(book.ada)
    const opening = await tomo.open('/money/pay')
    await tomo.send(opening, { payerId: book.ids.Chidi, amount: '20', column: 'cash', paidOn: '2026-06-04' })
    const late = await nameWriteOff(await signIn('vito'))
    expect(late.status).toBe(409)
    expect(late.words).toContain('changes what is open in this count')
    expect(told(await tomo.open('/money/cash-book'))).toMatch(/Held after 520.00/)
  })
})
