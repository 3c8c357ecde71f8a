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
  /** Hangs on the transfer that charges a turn left without word, or gives such a charge back. */
  missed_turn: { entry_id: string; turn_id: string }
  receipt_book: { entry_id: string; name: string; first_number: number; last_number: number }
  /** What stands on the paper of a receipt, where somebody compared it with the book. */
  receipt_paper: { entry_id: string; transfer_id: string; person_id: string; amount_minor: number }
  /** Hangs on a count of money that is not the cash box. */
  counted_column: { entry_id: string; money_column: string }
  /** Asked for; the money moves with the second name. */
  reserve_move: {
    entry_id: string
    from_column: string
    to_column: string
    amount_minor: number
    words: string
  }
  cash_count: { entry_id: string; counted_on: string; counted_minor: number; second_id: string }
  finding_note: { entry_id: string; finding: string; words: string }
  money_statement: { entry_id: string; money_column: string; to_on: string; closing_minor: number }
  money_statement_line: { entry_id: string; on_date: string; amount_minor: number; words: string; place: number }
  /** Why a transfer was made: a voucher, a relief, a fine, a count. */
  transfer_cause: { entry_id: string; cause_id: string }
  voucher: {
    entry_id: string
    number: number
    payee: string
    purpose: string
    category: string
    amount_minor: number
    invoice: string | null
    money_column: string
    stipend_person_id: string | null
    stipend_from_on: string | null
    stipend_to_on: string | null
    stipend_days: number | null
  }
  float_limit: { entry_id: string; from_on: string; limit_minor: number }
  payer_class: { entry_id: string; person_id: string; class: string | null; from_on: string }
  fixed_fee: { entry_id: string; account_id: string; kind: string; every: string; due_on: string }
  kind_rate: {
    entry_id: string
    from_on: string
    kind: string
    name: string
    price_minor: number
    minute: string
  }
  kind_payment: { entry_id: string; rate_id: string; quantity: number }
  relief: {
    entry_id: string
    person_id: string
    amount_minor: number
    minute: string
    words: string
    asked_id: string
  }
  promise: {
    entry_id: string
    person_id: string
    amount_minor: number
    every: string
    first_on: string
    times: number
    words: string | null
  }
  fine: {
    entry_id: string
    person_id: string
    amount_minor: number
    rule: string
    fact: string
    heard_on: string
    hearing: string
    lapse_on: string
  }
  period_closing: { entry_id: string; from_on: string; to_on: string; figures: string }
}
