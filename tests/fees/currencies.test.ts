import { describe, expect, it } from 'vitest'
import { trialBalance } from '../../domain/fees/ledger.ts'
import { listTransfers } from '../../server/fees/ledger/transfer-store.ts'
import { optionValue } from '../support/visitor.ts'
import { moneyBook, told } from './book.ts'

/**
 * The same evening in a currency without decimals and in one with three (ISO 4217). By hand, at `price` for 1 m3:
 * 4.5 m3 are charged, a payment goes beyond the charge, and the box is counted short by a hundredth of the payment or less.
 */
const EVENINGS = [
  {
    currency: 'UGX',
    // 4.5 m3 at 1 001 are 4 504.5, rounded half up to a whole shilling.
    ...{ price: '1001', charged: 'UGX 4,505', paid: '5000', receipt: 'UGX 5,000', ahead: 'UGX 495 paid ahead' },
    ...{ tooFine: '10.5', decimals: 'none', counted: '4990', short: 'UGX 10 short' },
    ...{ cells: ['4505', '5000', '-495'], minor: [4505, 5000] },
  },
  {
    currency: 'TND',
    // 4.5 m3 at 1.001 are 4.5045, rounded half up to a whole millime: 4.505.
    ...{ price: '1.001', charged: 'TND 4.505', paid: '5', receipt: 'TND 5.000', ahead: 'TND 0.495 paid ahead' },
    ...{ tooFine: '10.5555', decimals: '3', counted: '4.990', short: 'TND 0.010 short' },
    ...{ cells: ['4.505', '5', '-0.495'], minor: [4505, 5000] },
  },
  {
    currency: 'KES',
    // 4.5 m3 at 10.01 are 45.045, rounded half up to a whole cent: 45.05.
    ...{ price: '10.01', charged: 'KES 45.05', paid: '50', receipt: 'KES 50.00', ahead: 'KES 4.95 paid ahead' },
    ...{ tooFine: '10.5555', decimals: '2', counted: '49.90', short: 'KES 0.10 short' },
    ...{ cells: ['45.05', '50', '-4.95'], minor: [4505, 5000] },
  },
]

/** As it stands under a currency that is told once. */
const inRow = (amount: string) => amount.slice('KES '.length)

describe.each(EVENINGS)('an evening in $currency', (evening) => {
  it('goes from the price to the statement without losing or making a coin', async () => {
    const book = await moneyBook(evening.currency)
    const tomo = await book.signedIn('Tomo')
    const fine = await tomo.fill('/money/price/new', { fromOn: '2026-06-01', perM3: evening.tooFine })
    expect(fine.html.querySelector('#perM3-error')?.text).toContain(`this currency has ${evening.decimals}`)
    const { path } = await tomo.fill('/money/price/new', { fromOn: '2026-06-01', perM3: evening.price })
    await book.ada.fill(path, {}, { action: path })
    await book.deliver({ volumeM3: 4.5 })
    const charges = await tomo.open('/money/charges')
    expect(told(charges)).toContain(`4 Bela ${inRow(evening.charged)}`)
    expect(charges.html.querySelector('table')!.text.split(evening.currency)).toHaveLength(2)
    await tomo.send(charges, {}, '/money/charges')
    const receipt = await tomo.fill('/money/pay', {
      payerId: book.ids.Bela,
      amount: evening.paid,
      column: 'cash',
    })
    expect(told(receipt)).toContain(evening.receipt)
    expect(decodeURIComponent(receipt.html.querySelector('a[href^="sms:"]')!.getAttribute('href')!)).toContain(
      evening.receipt,
    )
    const counting = await tomo.open('/money/count')
    const secondId = optionValue(counting, 'secondId', 'Ines')
    const count = await tomo.send(counting, { counted: evening.counted, secondId })
    expect(told(count)).toContain(evening.short)
    expect(told(await tomo.open('/money/agree?period=month&on=2026-06-04'))).toContain(
      `The cash is ${evening.short} of the book.`,
    )
    expect(told(await tomo.open('/money/cash-book'))).toContain(`Held after ${inRow(evening.receipt)}`)
    const statement = told(await (await book.signedIn('Bela')).open(`/money/members/${book.ids.Bela}`))
    expect(statement).toContain(evening.ahead)
    expect(statement).toContain(`Amounts in ${evening.currency}`)
    expect(statement).toMatch(new RegExp(`plot 1 Plot 1 ${inRow(evening.charged)} ${inRow(evening.charged)} `))
    const csv = (await tomo.agent.get(`/money/members/${book.ids.Bela}.csv`)).text.trim().split('\r\n').slice(1)
    expect(csv[0]).toContain(`,${evening.cells[0]},0,${evening.cells[0]},`)
    expect(csv[1]).toContain(`,0,${evening.cells[1]},${evening.cells[2]},1`)
    const transfers = await listTransfers(book.db)
    expect(transfers.map(({ amountMinor }) => amountMinor)).toEqual(evening.minor)
    expect(trialBalance({ transfers }).totalMinor).toBe(0)
  })
})
