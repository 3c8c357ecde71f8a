/** A decimal number held exactly: digits / 10^scale. Money is reckoned on these, never on binary fractions. */
export interface Decimal {
  readonly digits: bigint
  readonly scale: number
}

export const ZERO: Decimal = { digits: 0n, scale: 0 }
export const ONE: Decimal = { digits: 1n, scale: 0 }

/** The number as a person would write it: 0.1 is one tenth, not the binary fraction beside it. */
export function decimal(value: number): Decimal {
  if (!Number.isFinite(value)) throw new RangeError(`not a decimal number: ${value}`)
  const [mantissa = '0', exponent = '0'] = String(value).split('e')
  const [whole = '0', part = ''] = mantissa.split('.')
  const scale = part.length - Number(exponent)
  const digits = BigInt(whole + part)
  return { digits: digits * 10n ** BigInt(Math.max(0, -scale)), scale: Math.max(0, scale) }
}

/** a + b, exactly. */
export function plus(a: Decimal, b: Decimal): Decimal {
  const scale = Math.max(a.scale, b.scale)
  return { digits: digitsAt(a, scale) + digitsAt(b, scale), scale }
}

/** a - b, exactly. */
export function minus(a: Decimal, b: Decimal): Decimal {
  return plus(a, { digits: -b.digits, scale: b.scale })
}

/** The smaller of the two; b when they are equal. */
export function least(a: Decimal, b: Decimal): Decimal {
  return minus(a, b).digits < 0n ? a : b
}

/** a times b, exactly: the places after the point add up. */
export function times(a: Decimal, b: Decimal): Decimal {
  return { digits: a.digits * b.digits, scale: a.scale + b.scale }
}

/** The digits on a finer scale than the number's own. */
export function digitsAt(a: Decimal, scale: number): bigint {
  return a.digits * 10n ** BigInt(scale - a.scale)
}

/** a / b rounded half up to a whole number; charges are never below zero, so neither are these. */
export function quotientHalfUp(a: Decimal, b: Decimal): bigint {
  if (a.digits < 0n || b.digits <= 0n) throw new RangeError('only amounts of zero or more are rounded')
  const scale = Math.max(a.scale, b.scale)
  const [top, bottom] = [digitsAt(a, scale), digitsAt(b, scale)]
  return (2n * top + bottom) / (2n * bottom)
}
