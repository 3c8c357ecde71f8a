import { beforeEach, describe, expect, it } from 'vitest'
import { trialBalance } from '../../../domain/fees/ledger.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { optionValue, type Seen, type Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'

const JUNE = '/money/agree?period=month&on=2026-06-04'

let book: MoneyBook
let tomo: Visitor
beforeEach(async () => {
  book = await moneyBook()
  tomo = await book.signedIn('Tomo')
  const opening = await tomo.open('/money/settle/from-before')
  await tomo.send(opening, { accountId: optionValue(opening, 'accountId', 'cash'), amount: '500' })
})

const ask = (fields: Record<string, string>) =>
  tomo.fill('/money/move?as=pump', { amount: '120', words: 'by minute 4', ...fields })
const agree = (visitor: Visitor, { path }: Seen) => visitor.fill(path, {}, { action: path })

async function count(column: 'cash' | 'reserve', counted: string): Promise<Seen> {
  const form = await tomo.open('/money/count')
  return tomo.send(form, { column, counted, secondId: optionValue(form, 'secondId', 'Ines') })
}

describe('the reserve for the pump', () => {
  it('is put by when a second person agrees, and stands in a column of its own', async () => {
    const asked = await ask({})
    expect(told(asked)).toContain('from cash into the reserve')
    expect(await listTransfers(book.db)).toHaveLength(1)
    expect(told(await tomo.open('/money/vouchers'))).toContain('Reserve for the pump, kept apart KES 0.00')
    expect(asked.html.querySelector('main form')).toBeNull()
    const moved = await agree(book.ada, asked)
    expect(told(moved)).toContain('Moved on 4 Jun 2026')
    expect(moved.html.querySelector('main form')).toBeNull()
    const cashBook = told(await tomo.open('/money/cash-book'))
    // Money that goes from one column to another is a line in both: out of cash, into the reserve.
    expect(cashBook).toMatch(/cash 120.00 380.00 0.00 0.00 (0|120).00/)
    expect(cashBook).toMatch(/Held after 380.00 0.00 0.00 120.00/)
    expect(told(await book.ada.open('/money/held?open=pump'))).toMatch(
      /KES 120.00 .* by minute 4 120.00 moved 4 Jun 2026/,
    )
    expect(trialBalance({ transfers: await listTransfers(book.db) }).totalMinor).toBe(0)
  })

  it('gives back to cash with two names too, never more than it holds, and never twice', async () => {
    await agree(book.ada, await ask({}))
    const much = await ask({ way: 'out', amount: '121' })
    expect(much.html.querySelector('#amount-error')?.text).toContain('holds less')
    const [first, second] = [await ask({ way: 'out', amount: '100' }), await ask({ way: 'out', amount: '100' })]
    const opened = [await book.ada.open(first.path), await book.ada.open(second.path)]
    const answers = await Promise.all(opened.map((page) => book.ada.send(page, {}, page.path)))
    expect(answers.map(({ status }) => status).toSorted()).toEqual([200, 409])
    expect(told(await tomo.open('/money/vouchers'))).toContain('kept apart KES 20.00')
    const plain = await tomo.open('/money/move')
    expect(plain.html.querySelectorAll('[value="reserve"]')).toEqual([])
    expect((await (await book.signedIn('Bela')).open(first.path)).status).toBe(403)
  })

  it('has its own count and its own finding, which never covers what differs in the box', async () => {
    await agree(book.ada, await ask({}))
    await count('cash', '380')
    expect(told(await tomo.open(JUNE))).toContain('nobody counted it in these days')
    const counted = await count('reserve', '110')
    expect(told(counted)).toMatch(/Count of the reserve.*KES 10.00 short/)
    const seen = told(await tomo.open(JUNE))
    expect(seen).toContain('The reserve for the pump is KES 10.00 short of the book.')
    expect(seen).toContain('money put by or taken out and not written')
    expect(seen).not.toContain('The cash is')
    expect(seen).toMatch(/reserve for the pump 0.00 120.00 0.00 120.00 .* 10.00 short/)
    await tomo.fill(counted.path, { way: 'explained', words: 'lent for a day and given back late' })
    const explained = told(await tomo.open(JUNE))
    expect(explained).toContain('The reserve for the pump is KES 10.00 short of the book.')
    expect(explained).toContain('lent for a day and given back late')
    expect(told(await tomo.open('/money/cash-book'))).toMatch(/Held after 380.00 0.00 0.00 120.00/)
    await count('cash', '370')
    expect(told(await tomo.open(JUNE))).toContain('The cash is KES 10.00 short of the book.')
  })
})
