import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { dot, solveLinear } from '../../domain/linear.ts'

/** The determinant by Laplace's expansion along the first row, exact for small whole numbers. */
function determinant(rows: number[][]): number {
  if (rows.length === 0) return 1
  return rows[0]!.reduce((total, value, column) => {
    const minor = rows.slice(1).map((row) => row.filter((_, at) => at !== column))
    return total + (column % 2 ? -1 : 1) * value * determinant(minor)
  }, 0)
}

/** Cramer's rule: each unknown as a quotient of two determinants. */
function byCramer(matrix: number[][], right: number[]): number[] | null {
  const whole = determinant(matrix)
  if (whole === 0) return null
  return right.map(
    (_, column) =>
      determinant(matrix.map((row, at) => row.map((value, place) => (place === column ? right[at]! : value)))) / whole,
  )
}

const whole = fc.integer({ min: -4, max: 4 })
const systems = fc
  .integer({ min: 1, max: 4 })
  .chain((size) =>
    fc.tuple(
      fc.array(fc.array(whole, { minLength: size, maxLength: size }), { minLength: size, maxLength: size }),
      fc.array(whole, { minLength: size, maxLength: size }),
    ),
  )

describe('equations in a row', () => {
  it('have the answer that quotients of determinants give', () => {
    fc.assert(
      fc.property(systems, ([matrix, right]) => {
        const expected = byCramer(matrix, right)
        fc.pre(expected !== null)
        const found = solveLinear(matrix, right)!
        for (const [at, value] of expected!.entries()) expect(found[at]).toBeCloseTo(value, 8)
      }),
    )
  })

  it('have none where two of them say the same of both, or one says nothing', () => {
    const one = [
      [2, 3],
      [4, 6],
    ]
    expect(solveLinear(one, [1, 2])).toBeNull()
    expect(
      solveLinear(
        [
          [0, 0],
          [1, 2],
        ],
        [0, 1],
      ),
    ).toBeNull()
    expect(solveLinear([[0]], [1])).toBeNull()
    expect(solveLinear([[Number.NaN]], [1])).toBeNull()
    expect(solveLinear([[1e-300]], [1e300])).toBeNull()
    // Half an answer is none.
    const apart = [
      [1e-300, 0],
      [0, 1],
    ]
    expect(solveLinear(apart, [1e300, 1])).toBeNull()
  })

  it('exchange their places for the larger head, so that a speck at the head spoils nothing', () => {
    // 1e-20 x + y = 1 and x + y = 2: x and y are 1 to twenty digits; dividing by the speck would make x nought.
    const found = solveLinear(
      [
        [1e-20, 1],
        [1, 1],
      ],
      [1, 2],
    )!
    expect(found[0]).toBeCloseTo(1, 12)
    expect(found[1]).toBeCloseTo(1, 12)
    // The same below the first row: x = 1, z = 2 and y = 3.
    const below = solveLinear(
      [
        [1, 0, 0],
        [0, 1e-20, 1],
        [0, 1, 1],
      ],
      [1, 2, 5],
    )!
    expect(below.map((value) => Math.round(value * 1e9) / 1e9)).toEqual([1, 3, 2])
  })

  it('leave what they were given as it was', () => {
    const matrix = [
      [0, 1],
      [1, 0],
    ]
    const right = [5, 7]
    expect(solveLinear(matrix, right)).toEqual([7, 5])
    expect([matrix, right]).toEqual([
      [
        [0, 1],
        [1, 0],
      ],
      [5, 7],
    ])
  })
})

it('two rows have the sum of their products', () => {
  expect(dot([1, 2, 3], [10, 20, 40])).toBe(170)
  expect(dot([], [])).toBe(0)
})
