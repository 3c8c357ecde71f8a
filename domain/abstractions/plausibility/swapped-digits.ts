import type { M3 } from '../../units.ts'
/**
 * Readings that come from the written one by swapping two neighbouring digits of its whole part, the commonest slip of
 * the pen (common practice, no source). Digits are padded to the meter's width, so that 00041 may have been 00014.
 */
export function swappedReadings({ readingM3, meterDigits = 0 }: { readingM3: M3; meterDigits?: number }): number[] {
  const [whole = '', part] = String(readingM3).split('.')
  const digits = whole.padStart(meterDigits, '0')
  const swaps = new Set<number>()
  for (let at = 0; at < digits.length - 1; at += 1) {
    const swapped = digits.slice(0, at) + digits[at + 1] + digits[at] + digits.slice(at + 2)
    if (swapped !== digits) swaps.add(Number(part === undefined ? swapped : `${swapped}.${part}`))
  }
  return [...swaps]
}

/** The one swap that makes sense of a reading; null when none does, or several do and nobody can tell. */
export function soleSwap({
  readingM3,
  meterDigits,
  accepts,
}: {
  readingM3: M3
  meterDigits?: number
  accepts: (candidateM3: M3) => boolean
}): number | null {
  const fitting = swappedReadings({ readingM3, meterDigits }).filter(accepts)
  return fitting.length === 1 ? fitting[0]! : null
}
