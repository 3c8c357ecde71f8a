/**
 * The decimal digits of any script as 0 to 9, so that a reading may be typed as it is written in the group's own
 * figures. Source: the Unicode Standard keeps the ten digits of a script (general category Nd) in one run from zero to nine.
 */
export function latinDigits(text: string): string {
  return text.replace(/\p{Nd}/gu, (digit) => String(digitOf(digit.codePointAt(0)!)))
}

function digitOf(codePoint: number): number {
  let zero = codePoint
  while (/\p{Nd}/u.test(String.fromCodePoint(zero - 1))) zero--
  return (codePoint - zero) % 10
}
