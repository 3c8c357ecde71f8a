import type { M3 } from '../../units.ts'

type DifferenceCode =
  | 'water-unexplained'
  | 'more-water-recorded-than-pumped'
  | 'delivery-without-charge'
  | 'charge-not-by-tariff'
  | WaitingCode
  | 'arrears-do-not-close'
  | 'receipt-number-missing'
  | 'receipt-number-twice'
  | 'receipt-without-transfer'
  | 'receipt-on-another-account'
  | 'transfer-amount-not-receipt'
  | 'receipt-not-in-cash-book'
  | 'cash-book-line-without-receipt'
  | 'cash-book-amount-not-receipt'
  | 'payment-without-voucher'
  | 'counted-less-than-book'
  | 'counted-more-than-book'
  | 'paid-days-not-logged-days'
  | 'reserve-less-than-book'
  | 'reserve-more-than-book'
  | 'statement-less-than-book'
  | 'statement-more-than-book'

const WAITING_CODES = [
  'unused-turn-not-charged',
  'used-turn-not-given-back',
  'struck-out-delivery-not-given-back',
  'delivery-charged-to-another',
  'fixed-fee-not-charged',
] as const

/** What was worked out and waits for the treasurer to post it, beside deliveries with no charge at all. */
export type WaitingCode = (typeof WAITING_CODES)[number]

type PlaceToLook =
  | 'missing-slips'
  | 'tank-readings'
  | 'night-hours'
  | 'leaks'
  | 'dates-of-readings'
  | 'older-tariff'
  | 'hours-and-volume-mixed'
  | 'relief-without-minute'
  | 'payment-on-another-member'
  | 'two-people-of-one-name'
  | 'second-receipt-book'
  | 'torn-or-lent-receipt'
  | 'written-later'
  | 'advance-without-voucher'
  | 'stipend-taken-early'
  | 'log-typed-by-another'
  | 'days-not-logged'
  | 'reserve-lent'
  | 'reserve-move-not-written'
  | 'in-transit'
  | 'private-number-used'
  | 'number-copied-wrong'

/** A difference says how much, of what, and where to look first; it names no person. */
export interface Difference {
  code: DifferenceCode
  amountMinor: number | null
  volumeM3: M3 | null
  toleranceMinor: number | null
  toleranceM3: M3 | null
  values: Record<string, string | number>
  lookAt: PlaceToLook[]
}

/** A count or a statement under which only its writer stands, or one that was declined or withdrawn: neither says that money agrees. */
export type UnnamedCount = 'waits' | 'declined'

export type CannotSay =
  | 'no-pump-reading'
  | `${'cash' | 'reserve'}-count-${UnnamedCount}`
  | 'cash-not-counted'
  | 'reserve-not-counted'
  | `${'wallet' | 'bank'}-statement-${UnnamedCount}`
  | 'no-wallet-statement'
  | 'no-bank-statement'

/** A difference by its code and where to look for its cause; amounts (minor units) and volumes (m3) are null unless given. */
export function difference(code: DifferenceCode, lookAt: PlaceToLook[], rest: Partial<Difference> = {}): Difference {
  const nothing = { amountMinor: null, volumeM3: null, toleranceMinor: null, toleranceM3: null, values: {} }
  return { code, lookAt, ...nothing, ...rest }
}

/** Whether nothing contradicts anything yet: it was worked out, and only waits to be posted. */
export function waitsToBePosted({ code }: Pick<Difference, 'code'>): boolean {
  return code === 'delivery-without-charge' || WAITING_CODES.some((one) => one === code)
}

/**
 * The name of a difference for whoever explains it: what, which, and how much. A difference that has changed is another
 * one, so that words written for 180 never cover 200.
 */
export function differenceKey({ code, amountMinor, values }: Difference): string {
  const which = [
    'voucherId',
    'bookId',
    'number',
    'fromNumber',
    'toNumber',
    'abstractionId',
    'lineId',
    'column',
  ] as const
  const parts = which.flatMap((name) => (values[name] === undefined ? [] : [`${name}=${values[name]}`]))
  return [code, ...parts, amountMinor === null ? '' : String(amountMinor)].filter(Boolean).join(' ')
}
