import { z } from 'zod'
import { type Minor, minor, parseMoney } from '../../domain/fees/index.ts'
import { InputError } from '../../domain/input-error.ts'
import { date, type Field, number, optional, refuse, select, text, tick } from '../web/fields.ts'
import { defineForm } from '../web/forms.ts'
import { MONEY_COLUMNS } from './ledger/account-store.ts'
import { SIDES } from './ledger/opening-store.ts'
import { ORIGINALS } from './receipt/store.ts'

/** The largest amount of one form; a slip of the finger adds zeros. */
const MOST_MINOR = 1_000_000_000_000

/** An amount in the group's currency, typed as people write money. */
export function money(currency: string, { least = 0 } = {}): Field<Minor> {
  const schema = z.string().transform((value, ctx): Minor => {
    if (value === '') return refuse(ctx, 'error.missing')
    try {
      const amount = parseMoney({ text: value, currency })
      if (amount > MOST_MINOR) return refuse(ctx, 'fees.money-too-large', { text: value })
      return amount < least ? refuse(ctx, 'fees.money-nothing') : minor(amount)
    } catch (error) {
      if (error instanceof InputError) return refuse(ctx, `fees.${error.code}`, error.values)
      throw error
    }
  })
  return { control: 'number', schema }
}

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
