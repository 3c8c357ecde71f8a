import type { NumberRange } from '../../../domain/number-ranges.ts'

/** 301–318; a single number as it is. */
export function rangeText({ fromNumber, toNumber }: NumberRange): string {
  return fromNumber === toNumber ? String(fromNumber) : `${fromNumber}–${toNumber}`
}
