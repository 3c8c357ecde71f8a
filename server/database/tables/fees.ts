export interface FeesTables {
  account: { entry_id: string; code: string; person_id: string | null }
  tariff: { entry_id: string; from_on: string }
  tariff_part: {
    entry_id: string
    payer_class: string | null
    kind: string
    up_to_m3: number | null
    every: string | null
    price_minor: number
  }
  transfer: {
    entry_id: string
    debit_account_id: string
    credit_account_id: string
    amount_minor: number
    kind: string
    on_date: string
    /** The draw as it was written when it was charged; a corrected draw has another id. */
    abstraction_id: string | null
    settles_id: string | null
    receipt_book: string | null
    receipt_number: number | null
    /** Where the paper of a voided receipt is. */
    original: string | null
    words: string | null
  }
  charge_line: {
    entry_id: string
    tariff_id: string
    kind: string
    quantity: number
    unit: string
    amount_minor: number
    estimated: number
  }
}
