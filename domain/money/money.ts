import { InputError } from '../input-error.ts'
import { sum } from '../sum.ts'

/** A whole number of the currency's smallest units, for example cents. */
export type Minor = number & { readonly unit: 'minor' }

/** The number as whole minor units of the group's currency. Throws a RangeError for one that is not whole or too large to be exact. */
export function minor(value: number): Minor {
  if (!Number.isSafeInteger(value)) throw new RangeError(`not whole minor units: ${value}`)
  return (value === 0 ? 0 : value) as Minor // minus zero is a plain zero
}

/** The sum of amounts in minor units. Throws a RangeError as `minor` does. */
export function sumMinor(amounts: readonly number[]): Minor {
  return minor(sum(amounts))
}

/**
 * Currencies of ISO 4217 whose minor unit is not a hundredth (list one, published 2024-06-25, fund codes left out). They are written down here
 * because a book keeps whole minor units for years, and what a run-time library says can change with its version.
 */
const DECIMALS: ReadonlyMap<number, string> = new Map([
  [0, 'BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF'],
  [3, 'BHD IQD JOD KWD LYD OMR TND'],
])

/** Number of decimals of a currency by ISO 4217: 2 unless the standard says otherwise. Throws InputError `currency-unknown`. */
export function currencyExponent(currency: string): number {
  const decimals = exponents().get(currency)
  if (decimals === undefined) throw new InputError('currency-unknown', { currency })
  return decimals
}

let known: ReadonlyMap<string, number> | undefined

/** Read once: every amount of a page asks for the decimals of its currency. */
function exponents(): ReadonlyMap<string, number> {
  known ??= new Map(
    Intl.supportedValuesOf('currency').map((code) => {
      const unusual = [...DECIMALS].find(([, codes]) => codes.split(' ').includes(code))
      return [code, unusual ? unusual[0] : 2]
    }),
  )
  return known
}

interface Shown {
  amountMinor: number
  currency: string
  locale?: string
}

/** The amount with its currency code, grouped and pointed as the locale does it. */
export function formatMoney({ amountMinor, currency, locale = 'en' }: Shown): string {
  const text = moneyText({ amountMinor, currency }) as Intl.StringNumericLiteral
  return formatOf(locale, currency, { style: 'currency', currency, currencyDisplay: 'code' }).format(text)
}

/** As long as a plus: a hyphen before a figure is easily lost. */
const MINUS = '\u2212'

/** The amount alone, where its currency stands once for a whole table or list. */
export function formatAmount({ amountMinor, currency, locale = 'en' }: Shown): string {
  const text = moneyText({ amountMinor, currency }) as Intl.StringNumericLiteral
  return formatOf(locale, currency, { style: 'decimal' }).format(text).replace('-', MINUS)
}

const formats = new Map<string, Intl.NumberFormat>()

/** One for each language, currency and style: to make one takes longer than to write a hundred amounts. */
function formatOf(locale: string, currency: string, style: Intl.NumberFormatOptions): Intl.NumberFormat {
  const key = `${locale} ${currency} ${style.style}`
  const made = formats.get(key)
  if (made) return made
  const decimals = currencyExponent(currency)
  const format = new Intl.NumberFormat(locale, {
    ...style,
    minimumFractionDigits: decimals,
    maximumFractionDigits: decimals,
  })
  formats.set(key, format)
  return format
}

/** The amount as plain digits with a point, for CSV files and form fields. */
export function moneyText({ amountMinor, currency }: { amountMinor: number; currency: string }): string {
  const decimals = currencyExponent(currency)
  const digits = String(Math.abs(minor(amountMinor))).padStart(decimals + 1, '0')
  const sign = amountMinor < 0 ? '-' : ''
  if (decimals === 0) return sign + digits
  return `${sign}${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`
}
