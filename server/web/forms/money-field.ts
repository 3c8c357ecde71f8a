import { z } from 'zod'
import { InputError } from '../../../domain/input-error.ts'
import { type Minor, minor } from '../../../domain/money/money.ts'
import { parseMoney } from '../../../domain/money/parse.ts'
import { type Field, refuse } from './fields.ts'

/** The largest amount of one form; a slip of the finger adds zeros. */
const MOST_MINOR = 1_000_000_000_000

/** An amount in the group's currency, typed as people write money. */
export function money(currency: string, { least = 0 } = {}): Field<Minor> {
  const schema = z.string().transform((value, ctx): Minor => {
    if (value === '') return refuse(ctx, 'error.missing')
    try {
      const amount = parseMoney({ text: value, currency })
      if (amount > MOST_MINOR) return refuse(ctx, 'error.money-too-large', { text: value })
      return amount < least ? refuse(ctx, 'error.money-nothing') : minor(amount)
    } catch (error) {
      if (error instanceof InputError) return refuse(ctx, `error.${error.code}`, error.values)
      throw error
    }
  })
  return { control: 'number', schema, isMoney: true }
}

/** A form with amounts, put together once for each currency: that takes as long as reading what was sent. */
export function perCurrency<Form>(make: (currency: string) => Form): (currency: string) => Form {
  const made = new Map<string, Form>()
  return (currency) => {
    const form = made.get(currency) ?? make(currency)
    made.set(currency, form)
    return form
  }
}
