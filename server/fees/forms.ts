import { date, number, optional, select, text, tick } from '../web/forms/fields.ts'
import { defineForm } from '../web/forms/forms.ts'
import { money } from '../web/forms/money-field.ts'
import { MONEY_COLUMNS } from './ledger/account-store.ts'
import { SIDES } from './ledger/opening-store.ts'
import { ORIGINALS } from './receipt/store.ts'

export function tariffForm(currency: string) {
  const EVERY = ['month', 'season'] as const
  return defineForm('fees.tariff', {
    fromOn: date(),
    perM3: money(currency),
    firstUpToM3: optional(number({ min: 0.001, max: 100_000 })),
    secondPerM3: optional(money(currency)),
    secondUpToM3: optional(number({ min: 0.001, max: 100_000 })),
    thirdPerM3: optional(money(currency)),
    perPumpHour: optional(money(currency)),
    perTurn: optional(money(currency)),
    perNoShow: optional(money(currency)),
    perShare: optional(money(currency)),
    perShareEvery: optional(select(EVERY)),
    flat: optional(money(currency)),
    flatEvery: optional(select(EVERY)),
    tenantPerM3: optional(money(currency)),
    schoolPerM3: optional(money(currency)),
    drinkingFree: tick(),
  })
}

export function paymentForm(currency: string) {
  return defineForm('fees.payment', {
    payerId: select(),
    amount: money(currency, { least: 1 }),
    column: select(MONEY_COLUMNS),
    paidOn: date(),
    words: optional(text({ max: 120 })),
  })
}

export function openingForm(currency: string) {
  return defineForm('fees.opening', {
    accountId: select(),
    side: select(SIDES),
    amount: money(currency, { least: 1 }),
    onDate: date(),
    words: optional(text({ max: 120 })),
  })
}

export const VoidForm = defineForm('fees.void', { original: select(ORIGINALS), reason: text({ max: 200 }) })

/** Posting charges asks for no typing: it carries what was seen, so that only what was seen is posted. */
export const ChargesForm = defineForm('fees.charges', { toOn: date(), seen: text({ max: 40 }) })

export const SpanForm = defineForm('fees.span', { from: date(), to: date() })
