import { beforeAll, describe, expect, it } from 'vitest'
import { fewPayers } from '../../../server/fees/payer/few.ts'
import { type MoneyBook, moneyBook, TODAY } from '../book.ts'

describe('a sum over fewer than five payers', () => {
  let book: MoneyBook
  const pay = async (...names: (keyof MoneyBook['ids'])[]) => {
    const tomo = await book.signedIn('Tomo')
    for (const name of names)
      await tomo.fill('/money/pay', { payerId: book.ids[name], amount: '70', column: 'cash', paidOn: TODAY })
  }
  const areFew = (from: string, to: string) => fewPayers(book.db, { from, to })
  beforeAll(async () => {
    book = await moneyBook()
  })

  it('is known by how many paid, and not by how often, on any day of the stretch with its first and its last', async () => {
    await pay('Bela', 'Chidi', 'Tomo', 'Ines', 'Bela', 'Bela')
    expect(await areFew(TODAY, TODAY)).toBe(true)
    await pay('Dela')
    expect(await areFew(TODAY, TODAY)).toBe(false)
    expect(await areFew('2026-05-01', TODAY)).toBe(false)
    expect(await areFew(TODAY, '2026-06-30')).toBe(false)
    expect(await areFew('2026-05-01', '2026-06-03')).toBe(true)
    expect(await areFew('2026-06-05', '2026-06-30')).toBe(true)
  })
})
