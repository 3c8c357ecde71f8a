import { beforeAll, describe, expect, it } from 'vitest'
import { REFUSED_THEN_TAKEN, refusedThenTaken, sentTooLate, TOO_LATE } from '../../laws/told.ts'
import { openValley } from '../../support/valley.ts'
import { answersOf, optionValue, type Visitor } from '../../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
let fanta: Visitor
beforeAll(async () => {
  valley = await openValley()
  fanta = await valley.signIn('fanta')
})

describe('what is wrong in money is told, and all else that was typed stays', () => {
  it.each([
    [{ firstNumber: '101', lastNumber: '100' }, { lastNumber: '101' }],
    [{ firstNumber: '300', lastNumber: '200' }, { firstNumber: '200' }],
  ])('a receipt book from %o', async (numbers, right) => {
    const seen = await refusedThenTaken(valley, fanta, {
      at: '/paper/numbers?as=receipts',
      wrong: { name: `Book ${numbers.firstNumber}`, ...numbers },
      right,
    })
    expect(seen.words).toContain('The last number comes before the first.')
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
  })

  it('work is paid by a rate that held on its day', async () => {
    const rate = { kind: 'labour', name: 'days at the wall', price: '100', fromOn: '2026-11-25', minute: '9/1' }
    expect((await fanta.fill('/money/settle/work', rate)).status).toBe(200)
    const seen = await refusedThenTaken(valley, fanta, {
      at: '/money/pay?as=work',
      wrong: { payerId: '~Hila', rateId: '~days at the wall', quantity: '2', doneOn: '2026-11-24' },
      right: { doneOn: '2026-11-25' },
    })
    expect(seen.words).toContain('This rate did not hold on that day. Choose one that did.')
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
  })

  it('a payment is moved to another account than the one on which it stands', async () => {
    const form = await fanta.open('/money/pay')
    const payerId = optionValue(form, 'payerId', 'Hila')
    const receipt = await fanta.send(form, { payerId, amount: '70', column: 'cash' })
    const seen = await refusedThenTaken(valley, fanta, {
      at: `${receipt.path}/mend?as=other-person`,
      wrong: { personId: '~Hila', reason: 'the names stand side by side' },
      right: { personId: '~Isko' },
    })
    expect(seen.words).toContain('The payment already stands on this account.')
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
  })
})

it('a count that differs needs no words once what was forgotten is written', async () => {
  const held = (await fanta.open('/money/cash-book')).html.querySelector('tfoot td.n')!.text.replace(/\D/g, '')
  const form = await fanta.open('/money/count')
  const secondId = optionValue(form, 'secondId', 'Hila')
  const { path } = await fanta.send(form, { column: 'cash', counted: String(Number(held) + 50), secondId })
  const late = await sentTooLate(valley, fanta, {
    ...{ at: path, action: `${path}/words`, fields: { way: 'minuted', minute: '9/9', words: 'the meeting looked' } },
    meanwhile: async () => {
      const page = await fanta.open('/money/pay')
      await fanta.send(page, { payerId: optionValue(page, 'payerId', 'Isko'), amount: '50', column: 'cash' })
    },
  })
  expect(late).toMatchObject({ ...TOO_LATE, words: expect.stringContaining('Nothing is open in this count any more.') })
})

it.each([
  ['mend', { original: '', reason: 'typed twice' }],
  ['mend?as=other-person', { personId: '~Isko', reason: 'the names stand side by side' }],
])('a payment is taken back once, and by %s no more', async (way, fields) => {
  const form = await fanta.open('/money/pay')
  const payerId = optionValue(form, 'payerId', 'Hila')
  const { path } = await fanta.send(form, { payerId, amount: '71', column: 'cash' })
  const back = answersOf(await fanta.open(`${path}/mend`), 'original')[0]!.value
  const late = await sentTooLate(valley, fanta, {
    at: `${path}/${way}`,
    fields: 'original' in fields ? { ...fields, original: back } : fields,
    meanwhile: () => fanta.fill(`${path}/mend`, { original: back, reason: 'typed twice' }),
  })
  expect(late).toMatchObject(TOO_LATE)
  expect(late.words).toContain('This payment was already taken back. Open the receipt to see why.')
})
