import { beforeAll, describe, expect, it } from 'vitest'
import { trialBalance } from '../../domain/fees/ledger.ts'
import { verifyBook } from '../../server/book/verify.ts'
import { reckonCharges } from '../../server/fees/charge/reckoning.ts'
import { addTransfer, listTransfers } from '../../server/fees/ledger/transfer-store.ts'
import { openValley } from '../support/valley.ts'
import { optionValue, type Seen, type Visitor } from '../support/visitor.ts'
import { told } from './book.ts'

const MONTH = '/money/agree?period=month&on=2026-11-30'
/** Words that would name a culprit. */
const ACCUSING = /theft|stole|thief|fraud|cheat|guilt|blame|suspect|dishonest|missing money/i

/** The amount after a heading of the last row of the cash book, in whole coins. */
function heldAfter(cashBook: Seen): { cash: number; wallet: number } {
  const [cash, wallet] = cashBook.html
    .querySelectorAll('tfoot td.n')
    .map((cell) => Number(cell.text.replace(/[^\d-]/g, '')))
  return { cash: cash!, wallet: wallet! }
}

/** The figures of a closed period as the page shows them. */
function figuresOf(page: Seen): string[] {
  const cells = page.html.querySelectorAll('table td, dl.facts dd').map((cell) => cell.text.trim())
  expect(cells.length).toBeGreaterThan(20)
  return cells
}

describe('the treasurer of the valley', () => {
  let valley: Awaited<ReturnType<typeof openValley>>
  let fanta: Visitor
  let besi: Visitor

  beforeAll(async () => {
    valley = await openValley()
    valley.setNow('2026-11-30T18:00:00Z')
    fanta = await valley.signIn('fanta')
    besi = await valley.signIn('besi')
  })

  async function pay(name: string, amount: string): Promise<Seen> {
    const form = await fanta.open('/money/pay')
    return fanta.send(form, { payerId: optionValue(form, 'payerId', name), amount, column: 'cash' })
  }

  async function typeIn(bookPath: string, number: string, name: string): Promise<Seen> {
    const form = await fanta.open(bookPath)
    const payerId = optionValue(form, 'payerId', name)
    return fanta.send(form, { number, paidOn: '2026-11-29', payerId, amount: '200', column: 'cash' })
  }

  it('closes a month from the pages alone', async () => {
    // Charges are posted.
    const waiting = (await reckonCharges(valley.db, { toOn: '2026-11-30' })).due.length
    expect(waiting).toBeGreaterThan(10)
    const before = (await listTransfers(valley.db)).length
    await fanta.fill('/money/charges', {}, { action: '/money/charges' })
    expect(await listTransfers(valley.db)).toHaveLength(before + waiting)
    expect(told(await fanta.open('/money/charges'))).toContain('Nothing waits to be charged')

    // So are the fees by share, which the page has named until now.
    const shares = /28 charges by month, season or share wait to be charged/
    expect(told(await fanta.open(MONTH))).toMatch(shares)
    await fanta.fill('/money/charges?as=fees', {}, { action: '/money/charges?as=fees' })
    expect(told(await fanta.open(MONTH))).not.toMatch(shares)

    // Three payments are taken; the second one is Jaya's, but is written on Kelo.
    await pay('Lumi Adder', '500')
    const wrong = await pay('Kelo Fasti', '300')
    const last = await pay('Hila Quarm', '250')
    expect(last.path).toMatch(/^\/money\/receipts\/\d+$/)

    // The paper receipts of a market day are typed in; number 302 is not there.
    const book = await fanta.fill('/paper/numbers?as=receipts', {
      name: 'Green',
      firstNumber: '301',
      lastNumber: '350',
    })
    await typeIn(book.path, '301', 'Maro Teng')
    const third = await typeIn(book.path, '303', 'Nadi Forro')
    expect(told(third)).toContain('Receipt Green 303')
    expect(told(await fanta.open('/money/receipts?as=books'))).toMatch(/Green 301 to 350 2 number 302 is missing/)

    // The copy of the second receipt is read: it is made out to Jaya.
    const paper = await fanta.open(`${wrong.path}/mend?as=paper`)
    const jaya = optionValue(paper, 'personId', 'Jaya Orrin')
    expect(told(await fanta.send(paper, { personId: jaya, amount: '300' }))).toContain('made out to Jaya Orrin')

    // Two people count the cash; the wallet's balance is written.
    const held = heldAfter(await fanta.open('/money/cash-book?from=2026-11-01&to=2026-11-30'))
    const counting = await fanta.open('/money/count')
    const secondId = optionValue(counting, 'secondId', 'Goro Wenn')
    const count = await fanta.send(counting, { counted: String(held.cash - 180), secondId })
    expect(told(count)).toContain('XOF 180 short')
    await (await valley.signIn('goro')).fill(count.path, {}, { action: count.path })
    const stated = await fanta.fill('/money/bank-paper', { column: 'wallet', closing: String(held.wallet) })
    await (await valley.signIn('goro')).fill(stated.path, {})

    // The page names each, and nobody.
    const open = await fanta.open(MONTH)
    expect(told(open)).toContain('3 matters are open')
    expect(told(open)).toContain('The cash is XOF 180 short of the book.')
    expect(told(open)).toContain('Receipt book Green: number 302 is missing.')
    expect(told(open)).toMatch(/receipt \d+ over XOF 300 stands on another account than the paper says/)
    expect(told(open)).not.toMatch(ACCUSING)
    for (const name of ['Jaya', 'Kelo', 'Goro', 'Nadi']) expect(told(open)).not.toContain(name)
    const early = await fanta.open('/money/agree/close?period=month&on=2026-11-30')
    expect(told(early)).toContain('3 matters are still open')
    expect(early.html.querySelector('main form')).toBeNull()
    // What is open can be settled from there, and the month offers its closing only afterwards.
    expect(early.html.querySelectorAll('main a[href^="/money/settle/finding"]').length).toBeGreaterThan(0)
    expect(told(open)).not.toContain('Close this period')

    // Each is mended or explained.
    const moving = await fanta.open(`${wrong.path}/mend?as=other-person`)
    const moved = await fanta.send(moving, { personId: jaya, reason: 'written on the line above' })
    expect(told(moved)).toMatch(/10 Jaya Orrin .* in place of receipt/)
    expect(told(await fanta.open(wrong.path))).toContain('Another receipt stands in its place.')
    const lost = { way: 'written-off', minute: '31', words: 'a spanner bought on market day, no bill was given' }
    const asked = await fanta.fill(count.path, lost)
    const approval = asked.html.querySelector('form[action^="/money/names/count-words/"]')
    expect(approval).toBeNull()
    // Words are enough to go on with; the coins are still short.
    expect(told(await fanta.open(MONTH))).toContain('The cash is XOF 180 short of the book.')
    for (const name of ['besi', 'chandu']) {
      const officer = await valley.signIn(name)
      const page = await officer.open(count.path)
      await officer.send(
        page,
        {},
        page.html.querySelector('form[action^="/money/names/count-words/"]')!.getAttribute('action')!,
      )
    }
    const settled = told(await fanta.open(count.path))
    expect(settled).toMatch(/^.{0,60}XOF 180 short/)
    expect(settled).toContain('By the book as it stands today: agrees to the last coin.')
    expect(settled).toMatch(/XOF 180 written off by minute 31, with the names of Besi Okuru, Chandu Perle/)
    const note = (await fanta.open(MONTH)).html
      .querySelectorAll('a[href^="/money/settle/finding"]')[0]!
      .getAttribute('href')!
      .replaceAll('&amp;', '&')
    await fanta.fill(note, { words: 'spoilt by rain, the torn paper is kept in the book' })
    const mended = told(await fanta.open(MONTH))
    expect(mended).toContain('What differed is explained; it stays in sight.')
    expect(mended).toContain('Close this period')
    expect(mended).toContain('spoilt by rain')
    expect(mended).not.toContain('The cash is')
    expect(mended).toContain('the cash box was counted: XOF 180 short.')
    expect(mended).not.toContain('another account')

    // Two names close the month.
    const closing = await fanta.fill('/money/agree/close?period=month&on=2026-11-30', {})
    expect(told(closing)).toContain('Closed by one person.')
    expect(closing.html.querySelector('form[action^="/money/names/closing/"]')).toBeNull()
    const closed = await besi.fill(closing.path, {}, { action: closing.path })
    expect(told(closed)).toContain('Closed with two names.')
    expect(told(closed)).not.toMatch(ACCUSING)

    // What is found later goes into the open period.
    valley.setNow('2026-12-02T09:00:00Z')
    fanta = await valley.signIn('fanta')
    besi = await valley.signIn('besi')
    const form = await fanta.open('/money/pay')
    const payerId = optionValue(form, 'payerId', 'Oban Crell')
    const late = await fanta.send(form, { payerId, amount: '50', column: 'cash', paidOn: '2026-11-28' })
    expect(late.html.querySelector('#paidOn-error')?.text).toContain('closed up to 30 Nov 2026')
    const { debitAccountId, creditAccountId, kind } = (await listTransfers(valley.db)).find(
      (one) => one.kind === 'receipt',
    )!
    const written = (onDate: string) =>
      valley.db.transaction().execute((trx) => {
        const pen = { trx, writtenBy: payerId, writtenAt: '2026-12-02T09:00:00.000Z' }
        return addTransfer(pen, { debitAccountId, creditAccountId, kind, amountMinor: 1, onDate })
      })
    for (const day of ['2026-11-01', '2026-11-30']) await expect(written(day), day).rejects.toThrow('period-closed')
    expect(await written('2026-12-01')).toMatch(/\w+/)
    const back = await fanta.fill(`${last.path}/mend`, { original: 'back', reason: 'coin was not good' })
    expect(told(back)).toContain('Taken back.')
    expect(figuresOf(await besi.open(closing.path))).toEqual(figuresOf(closed))
    expect(told(await fanta.open('/money/cash-book?from=2026-12-01&to=2026-12-02'))).toContain('coin was not good')

    // Nothing was lost on the way: every account together holds nothing, and no entry was changed.
    expect(trialBalance({ transfers: await listTransfers(valley.db) }).totalMinor).toBe(0)
    expect((await verifyBook(valley.db)).brokenAt).toBeNull()
    const numbers = (await fanta.agent.get('/money/receipts.csv')).text
    expect(numbers).toContain('Green,302,missing')
    expect(numbers).toMatch(/,written on the line above,/)
  })
})
