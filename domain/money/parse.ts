import { latinDigits } from '../digits.ts'
import { InputError } from '../input-error.ts'
import { currencyExponent, type Minor, minor } from './money.ts'

/**
 * Reads an amount as people write it: comma or point before the decimals, and a space, apostrophe, comma or point
 * between thousands. A sole mark before three digits parts thousands (1,234), unless the currency itself has three
 * decimals and is written that way (12,500). Digits may be those of any script. Pages show the amount back before it is saved.
 * Throws InputError: `money-not-understood`, `money-negative`, `money-too-many-decimals`, `money-too-large`.
 */
export function parseMoney({ text, currency }: { text: string; currency: string }): Minor {
  const decimals = currencyExponent(currency)
  const typed = latinDigits(text)
    .trim()
    .replace(/^([A-Za-z]{3})\s*/, (code) => withoutOwnCode(code, currency, text))
  if (/^[-−(]/.test(typed)) throw new InputError('money-negative', { text })
  const { whole, part } = splitAmount(typed, decimals, text)
  if (part.length > decimals) throw new InputError('money-too-many-decimals', { text, decimals })
  const amount = Number(whole + part.padEnd(decimals, '0'))
  if (!Number.isSafeInteger(amount)) throw new InputError('money-too-large', { text })
  return minor(amount)
}

function withoutOwnCode(code: string, currency: string, text: string): string {
  if (code.trim().toUpperCase() !== currency) throw new InputError('money-not-understood', { text })
  return ''
}

function splitAmount(typed: string, decimals: number, text: string): { whole: string; part: string } {
  const marks = typed.match(/[.,]/g) ?? []
  const last = typed.search(/[.,](?=[^.,]*$)/)
  const repeated = marks.filter((mark) => mark === marks.at(-1)).length > 1
  const thousands = decimals < 3 && marks.length === 1 && /^[1-9]\d{0,2}[.,]\d{3}$/.test(typed)
  const groupsOnly = marks.length === 0 || repeated || thousands
  const whole = groupsOnly ? typed : typed.slice(0, last)
  const decimalMark = groupsOnly ? '' : typed[last]!
  return { whole: ungrouped(whole, decimalMark, text), part: groupsOnly ? '' : digitsOnly(typed.slice(last + 1), text) }
}

/** Thousands must stand in threes and be parted by one and the same sign, which is not the decimal mark. */
function ungrouped(whole: string, decimalMark: string, text: string): string {
  if (/^\d+$/.test(whole)) return whole
  const grouped = /^\d{1,3}([.,'’\s])\d{3}(?:\1\d{3})*$/u.exec(whole)
  if (!grouped || grouped[1] === decimalMark) throw new InputError('money-not-understood', { text })
  return whole.replace(/\D/g, '')
}

function digitsOnly(part: string, text: string): string {
  if (!/^\d+$/.test(part)) throw new InputError('money-not-understood', { text })
  return part
}
