import { InputError } from '../../input-error.ts'

interface TapedArea {
  areaM2: number
  /** Careful taping with a diagonal is within 3 %, sides alone within 10 to 15 %: common practice, no source. */
  errorFraction: number
  /** Angle between the first two sides, where a diagonal tells it. */
  cornerDeg: number | null
  /** The corner is more than 3 degrees from square, so length times width would be too much. */
  rightAngleDoubted: boolean
}

const DOUBTED_BEYOND_DEG = 3

/**
 * Area of a four-sided plot from its sides in order, m. With the diagonal that joins the end of the second side to the start of
 * the first: the sum of two triangles by Heron's formula. Without: the mean length times the mean width, as if square.
 * Throws InputError `side-not-above-zero` or, where the tape lengths cannot meet, `triangle-does-not-close`.
 */
export function tapedArea(input: { sidesM: readonly [number, number, number, number]; diagonalM?: number }): TapedArea {
  const [a, b, c, d] = input.sidesM
  for (const sideM of input.sidesM) if (!(sideM > 0)) throw new InputError('side-not-above-zero', { sideM })
  const diagonalM = input.diagonalM
  if (diagonalM === undefined) {
    return { areaM2: ((a + c) / 2) * ((b + d) / 2), errorFraction: 0.15, cornerDeg: null, rightAngleDoubted: false }
  }
  const areaM2 = triangleM2(a, b, diagonalM) + triangleM2(c, d, diagonalM)
  const cornerDeg = (Math.acos((a ** 2 + b ** 2 - diagonalM ** 2) / (2 * a * b)) * 180) / Math.PI
  const rightAngleDoubted = Math.abs(cornerDeg - 90) > DOUBTED_BEYOND_DEG
  return { areaM2, errorFraction: 0.03, cornerDeg, rightAngleDoubted }
}

function triangleM2(a: number, b: number, c: number): number {
  const half = (a + b + c) / 2
  const product = half * (half - a) * (half - b) * (half - c)
  if (!(product > 0)) throw new InputError('triangle-does-not-close', { a, b, c })
  return Math.sqrt(product)
}
