import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { arrearsAgeing, settleOldestFirst } from '../../../domain/fees/arrears/settle.ts'
import { balanceOf, type Transfer } from '../../../domain/fees/ledger.ts'

const FIRST = '2026-01-01'

/** What a member was charged and paid, a day after the other; `at` is the transfer that a payment or a void names. */
const drawn = fc.array(
  fc.record({
    kind: fc.constantFrom<'charge' | 'payment' | 'meant' | 'void' | 'other'>(
      'charge',
      'payment',
      'meant',
      'void',
      'other',
    ),
    coins: fc.integer({ min: 1, max: 4 }),
    at: fc.nat(7),
  }),
  { maxLength: 8 },
)
type Drawn = typeof drawn extends fc.Arbitrary<infer T> ? T : never

function transfersOf(rows: Drawn): Transfer[] {
  return rows.map(({ kind, coins, at }, place): Transfer => {
    const one = { id: `t${place}`, amountMinor: coins, on: addDays(FIRST, place) }
    const charge = { ...one, kind: 'charge' as const, debitAccountId: 'm', creditAccountId: 'income' }
    const payment = { ...one, kind: 'receipt' as const, debitAccountId: 'box', creditAccountId: 'm' }
    if (kind === 'charge') return charge
    if (kind === 'payment') return payment
    if (kind === 'meant') return { ...payment, settlesId: `t${at}` }
    if (kind === 'void') return { ...charge, kind: 'correction', creditAccountId: 'box', correctsId: `t${at}` }
    return { ...charge, debitAccountId: 'somebody' }
  })
}

/** The same with coins on a table: each lies on a charge, or in the hand as credit. */
function onTheTable(rows: Drawn) {
  const paid = rows.map(({ kind, coins }) => (kind === 'payment' || kind === 'meant' ? coins : 0))
  const owed = new Map<number, number>()
  for (const [place, { kind, coins, at }] of rows.entries()) {
    if (kind === 'charge') owed.set(place, coins)
    if (kind !== 'void') continue
    let rest = coins
    for (; rest > 0 && (paid[at] ?? 0) > 0; rest--) paid[at]!--
    if (rest > 0) owed.set(place, rest)
  }
  let hand = 0
  for (const [place, { kind, at }] of rows.entries())
    for (let coin = 0; coin < paid[place]!; coin++) {
      if (kind === 'meant' && (owed.get(at) ?? 0) > 0) owed.set(at, owed.get(at)! - 1)
      else hand++
    }
  for (const [place, open] of owed) {
    const laid = Math.min(hand, open)
    owed.set(place, open - laid)
    hand -= laid
  }
  return { open: [...owed].map(([place, open]) => [`t${place}`, open]), hand }
}

describe('which charges are paid', () => {
  it('is as with coins on a table: those meant for one there first, all others on the oldest', () => {
    fc.assert(
      fc.property(drawn, (rows) => {
        const transfers = transfersOf(rows)
        const found = settleOldestFirst({ transfers, accountId: 'm' })
        const table = onTheTable(rows)
        expect(found.charges.map(({ transferId, openMinor }) => [transferId, openMinor])).toEqual(table.open)
        expect(found.creditMinor).toBe(table.hand)
        for (const { amountMinor, paidMinor, openMinor } of found.charges)
          expect(paidMinor + openMinor).toBe(amountMinor)
        const open = found.charges.reduce((sum, { openMinor }) => sum + openMinor, 0)
        expect(open - found.creditMinor).toBe(balanceOf({ transfers, accountId: 'm' }))
      }),
      { numRuns: 300 },
    )
  })

  it('is told as of a day, that day with it', () => {
    const transfers = transfersOf([
      { kind: 'charge', coins: 3, at: 0 },
      { kind: 'payment', coins: 2, at: 0 },
    ])
    const open = (asOf: string) =>
      settleOldestFirst({ transfers, accountId: 'm', asOf }).charges.map(({ openMinor }) => openMinor)
    expect([open('2025-12-31'), open(FIRST), open('2026-01-02')]).toEqual([[], [3], [1]])
  })
})

it('what is open falls into one band by its age, the last day of a band with it', () => {
  const charge = (daysAgo: number, openMinor: number) =>
    ({
      transferId: `${daysAgo}`,
      on: addDays('2026-12-31', -daysAgo),
      kind: 'charge' as const,
      amountMinor: 2000,
      paidMinor: 0,
      openMinor,
    }) as never
  const ages = [-5, 0, 30, 31, 90, 91, 365, 366]
  const { totalMinor, bands } = arrearsAgeing({
    charges: ages.map((age, at) => charge(age, 2 ** at)),
    asOf: '2026-12-31',
  })
  expect(bands.map(({ overDays, toDays, amountMinor }) => [overDays, toDays, amountMinor])).toEqual([
    [0, 30, 1 + 2 + 4],
    [30, 90, 8 + 16],
    [90, 365, 32 + 64],
    [365, null, 128],
  ])
  expect(totalMinor).toBe(255)
})
