/** A stretch of numbers, both ends with it. */
export interface NumberRange {
  fromNumber: number
  toNumber: number
}

/**
 * The numbers missing from a series that begins at `from`, up to the highest of it or up to `to`, as stretches: a book of
 * millions of numbers makes no list of millions.
 */
export function missingRanges(numbers: Iterable<number>, { from, to }: { from: number; to?: number }): NumberRange[] {
  const missing: NumberRange[] = []
  let expected = from
  const ends = to === undefined ? [] : [to + 1]
  for (const number of [...new Set(numbers), ...ends].toSorted((a, b) => a - b)) {
    if (to !== undefined && number > to + 1) break
    if (number > expected) missing.push({ fromNumber: expected, toNumber: number - 1 })
    expected = Math.max(expected, number + 1)
  }
  return missing
}

/** Numbers as stretches of such as follow each other. */
export function rangesOf(numbers: Iterable<number>): NumberRange[] {
  const ranges: NumberRange[] = []
  for (const number of [...new Set(numbers)].toSorted((a, b) => a - b)) {
    const last = ranges.at(-1)
    if (last && last.toNumber === number - 1) last.toNumber = number
    else ranges.push({ fromNumber: number, toNumber: number })
  }
  return ranges
}

/** How many numbers the stretches hold. */
export function countOf(ranges: readonly NumberRange[]): number {
  return ranges.reduce((count, { fromNumber, toNumber }) => count + toNumber - fromNumber + 1, 0)
}
