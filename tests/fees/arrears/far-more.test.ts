import { beforeAll, describe, expect, it } from 'vitest'
import { isFarMore } from '../../../domain/fees/far-more.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { listKindRates } from '../../../server/fees/payment/kind-store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Seen, type Visitor } from '../../support/visitor.ts'
import { told } from '../book.ts'

describe('a payment far above what is owed', () => {
  it.each([
    [1000, 100, 100, false],
    [1001, 100, 100, true],
    [1001, 100, 201, false],
    [1001, 100, 200, true],
    [500, 0, 100, false],
    [501, 0, 100, true],
    [501, -50, 100, true],
    [1_000_000, 0, 0, false],
  ])('of %d where %d is owed and the most was %d: %s', (amountMinor, owesMinor, mostMinor, far) => {
    expect(isFarMore({ amountMinor, owesMinor, mostMinor })).toBe(far)
  })
})

describe('in the valley', () => {
  let valley: Awaited<ReturnType<typeof openValley>>
  let fanta: Visitor
  beforeAll(async () => {
    valley = await openValley()
    fanta = await valley.signIn('fanta')
  })

  const lines = async () => (await listTransfers(valley.db)).length
  const asked = (page: Seen) => page.html.querySelector('.error')?.text.replace(/\s+/g, ' ').trim() ?? ''

  it('a receipt is asked about with both sums, and taken with its cross', async () => {
    const before = await lines()
    const form = await fanta.open('/money/pay')
    const payerId = optionValue(form, 'payerId', 'Hila Quarm')
    const page = await fanta.send(form, { payerId, amount: '100000000', column: 'cash' })
    expect(page.status).toBe(422)
    expect(asked(page)).toMatch(
      /XOF.100,000,000\? Hila Quarm has XOF.[\d,]+ to pay, and nobody ever owed or paid as much at once/,
    )
    expect(await lines()).toBe(before)
    expect(told(await fanta.send(page, { _sure: 'amount:100000000' }))).toContain('XOF 100,000,000')
    expect(await lines()).toBe(before + 1)
  })

  it('so is work, and a receipt of a paper book; what is likely is not', async () => {
    const valleyAgain = await openValley()
    const taking = await valleyAgain.signIn('fanta')
    const form = await taking.open('/money/pay?as=work')
    const work = {
      payerId: optionValue(form, 'payerId', 'Amaru Tolle'),
      rateId: (await listKindRates(valleyAgain.db)).find(({ kind }) => kind === 'labour')!.id,
    }
    const page = await taking.send(form, { ...work, quantity: '300' })
    expect(asked(page)).toMatch(/Amaru Tolle has XOF.[\d,]+ to pay/)
    expect((await taking.send(page, { _sure: 'quantity:300' })).path).toMatch(/^\/money\/receipts\/\d+$/)
    expect((await taking.fill('/money/pay?as=work', { ...work, quantity: '2' })).path).toMatch(
      /^\/money\/receipts\/\d+$/,
    )
    const book = { name: 'Green', firstNumber: '301', lastNumber: '350' }
    const paper = await taking.fill('/paper/numbers?as=receipts', book)
    const payerId = optionValue(await taking.open(paper.path), 'payerId', 'Hila Quarm')
    const slip = { number: '301', paidOn: VALLEY_TODAY, payerId, amount: '100000000', column: 'cash' }
    expect(asked(await taking.fill(paper.path, slip))).toContain('nobody ever owed or paid as much')
  })
})
