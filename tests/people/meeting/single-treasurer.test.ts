import { beforeAll, describe, expect, it } from 'vitest'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { allReceipts } from '../../../server/fees/receipt/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Seen, type Visitor } from '../../support/visitor.ts'

/** What one treasurer alone was seen to do with a debt or with money held, in a book whose charges and payments run. */
let valley: Awaited<ReturnType<typeof openValley>>
let fanta: Visitor
beforeAll(async () => {
  valley = await openValley()
  fanta = await valley.signIn('fanta')
})

const lines = async () => (await listTransfers(valley.db)).length

async function refused(page: Seen, said: string, before: number) {
  expect([page.status, page.words]).toEqual([422, expect.stringContaining(said)])
  expect(await lines()).toBe(before)
}

describe('a treasurer alone', () => {
  it('makes nobody’s debt smaller, nor the money held, by a line from before the book', async () => {
    const path = '/money/settle/from-before'
    const before = await lines()
    const typed = { side: 'ahead-or-less', amount: '500', onDate: '2026-08-01', words: 'from the old book' }
    const form = await fanta.open(path)
    const cousin = optionValue(form, 'accountId', 'Hila')
    await refused(
      await fanta.send(form, { ...typed, accountId: cousin }),
      'no line from before makes a debt smaller',
      before,
    )
    const again = await fanta.open(path)
    const cash = optionValue(again, 'accountId', 'cash')
    await refused(await fanta.send(again, { ...typed, accountId: cash }), 'makes the money held less', before)
    // What somebody still owed from before and was forgotten is written in as ever; its owner reads it.
    const late = await fanta.open(path)
    const owed = {
      ...typed,
      side: 'held-or-to-pay',
      accountId: optionValue(late, 'accountId', 'Hila'),
      onDate: VALLEY_TODAY,
    }
    expect((await fanta.send(late, owed)).status).toBe(200)
    expect(await lines()).toBe(before + 1)
  })

  it('takes no days of work as payment from their own household, and does from another', async () => {
    const rate = { kind: 'labour', name: 'day of work', price: '10', fromOn: VALLEY_TODAY, minute: '12' }
    await fanta.fill('/money/settle/work', rate)
    const before = await lines()
    const pay = async (name: string) => {
      const form = await fanta.open('/money/pay?as=work')
      const rateId = optionValue(form, 'rateId', 'day of work')
      return fanta.send(form, {
        payerId: optionValue(form, 'payerId', name),
        rateId,
        quantity: '40',
        doneOn: VALLEY_TODAY,
      })
    }
    await refused(await pay('Fanta'), 'of their own household as paid', before)
    expect((await pay('Hila')).path).toContain('/money/receipts/')
  })

  it('moves nobody’s payment to their own household, and writes no other class for it', async () => {
    const receipt = (await allReceipts(valley.db)).find(({ voidedBy }) => !voidedBy)!
    const before = await lines()
    const { receiptNumber } = receipt.transfer
    const form = await fanta.open(`/money/receipts/${receiptNumber}/mend?as=other-person`)
    const typed = { personId: optionValue(form, 'personId', 'Fanta'), reason: 'it was mine' }
    await refused(await fanta.send(form, typed), 'moves a payment to their own household', before)
    const paysAs = await fanta.open('/money/settle/pays-as')
    const asked = {
      personId: optionValue(paysAs, 'personId', 'Fanta'),
      fromOn: '2026-12-20',
      minute: '12',
      payerClass: 'school',
    }
    await refused(await fanta.send(paysAs, asked), 'what their own household pays as', before)
  })
})
