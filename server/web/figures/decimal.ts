import { latinDigits } from '../../../domain/digits.ts'

/**
 * Reads a number as people write it: point or comma before the decimals, spaces between thousands.
 * Digits may be those of any script. `1,234` could be either and is given back as ambiguous, since a thousandfold slip would go unseen.
 */
export function parseDecimal(text: string): number | 'ambiguous' | null {
  const packed = latinDigits(text)
    .replace(/[\s\u00a0\u202f]/g, '')
    .replace('\u2212', '-')
  if (/^-?[1-9]\d{0,2},\d{3}$/.test(packed)) return 'ambiguous'
  // Both marks together leave no doubt: 2,599.25 as pages show it, or 2.599,25.
  if (/^-?\d{1,3}(,\d{3})+\.\d+$/.test(packed)) return Number(packed.replaceAll(',', ''))
  if (/^-?\d{1,3}(\.\d{3})+,\d+$/.test(packed)) return Number(packed.replaceAll('.', '').replace(',', '.'))
  if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(packed)) return null
  return Number(packed.replace(',', '.'))
}
