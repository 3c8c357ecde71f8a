import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { countOf, missingRanges, type NumberRange, rangesOf } from '../../domain/number-ranges.ts'

const series = fc.array(fc.integer({ min: 0, max: 12 }), { maxLength: 9 })
const listed = (ranges: NumberRange[]) =>
  ranges.flatMap(({ fromNumber, toNumber }) =>
    Array.from({ length: toNumber - fromNumber + 1 }, (_, at) => fromNumber + at),
  )

describe('the numbers of a series', () => {
  it('are missing where, counted one by one, nobody has them', () => {
    fc.assert(
      fc.property(
        series,
        fc.integer({ min: 0, max: 5 }),
        fc.option(fc.integer({ min: 3, max: 14 }), { nil: undefined }),
        (numbers, from, to) => {
          const last = to ?? Math.max(from - 1, ...numbers)
          const missing: number[] = []
          for (let number = from; number <= last; number++) if (!numbers.includes(number)) missing.push(number)
          const ranges = missingRanges(numbers, to === undefined ? { from } : { from, to })
          expect(listed(ranges)).toEqual(missing)
          expect(ranges).toEqual(rangesOf(missing))
          expect(countOf(ranges)).toBe(missing.length)
        },
      ),
      { numRuns: 400 },
    )
  })

  it('stand as stretches that hold each of them once, with a gap between any two', () => {
    fc.assert(
      fc.property(series, (numbers) => {
        const ranges = rangesOf(numbers)
        expect(listed(ranges)).toEqual([...new Set(numbers)].toSorted((a, b) => a - b))
        for (const [at, { fromNumber }] of ranges.slice(1).entries())
          expect(fromNumber).toBeGreaterThan(ranges[at]!.toNumber + 1)
      }),
    )
  })

  it('of two, of one and of none', () => {
    expect(rangesOf([3, 2, 2, 5])).toEqual([
      { fromNumber: 2, toNumber: 3 },
      { fromNumber: 5, toNumber: 5 },
    ])
    expect(missingRanges([], { from: 1, to: 2 })).toEqual([{ fromNumber: 1, toNumber: 2 }])
    expect(missingRanges([], { from: 1 })).toEqual([])
    expect(countOf([])).toBe(0)
  })
})
