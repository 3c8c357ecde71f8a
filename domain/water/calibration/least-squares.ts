import { dot, solveLinear } from '../../linear.ts'

export interface LeastSquares {
  values: number[]
  misses: number[]
  /** Inverse of the normal matrix: covariances of the values where every miss has a deviation of 1. */
  covariance: number[][]
}

/**
 * Values that make the squares of the misses least, by Gauss-Newton steps that are held back while they do not improve
 * (Levenberg 1944, Marquardt 1963), slopes by small differences. Null where the normal matrix cannot be inverted.
 */
export function leastSquares(missesAt: (values: number[]) => number[], start: readonly number[]): LeastSquares | null {
  let values = [...start]
  let misses = missesAt(values)
  let damping = 1e-3
  for (let step = 0; step < 60; step++) {
    const slopes = slopesOf(missesAt, values)
    const right = slopes.map((column) => -dot(column, misses))
    const change = solveLinear(normalMatrix(slopes, damping), right)
    if (!change) return null
    const tried = values.map((value, i) => value + change[i]!)
    const triedMisses = missesAt(tried)
    const gained = dot(misses, misses) - dot(triedMisses, triedMisses)
    damping = gained > 0 ? Math.max(damping / 10, 1e-12) : damping * 10
    if (gained > 0) [values, misses] = [tried, triedMisses]
    if (damping > 1e9 || (gained > 0 && gained < 1e-9 * dot(triedMisses, triedMisses))) break
  }
  const covariance = inverse(normalMatrix(slopesOf(missesAt, values), 0))
  return covariance && { values, misses, covariance }
}

/** How each miss moves with each value; one column a value. */
function slopesOf(missesAt: (values: number[]) => number[], values: number[]): number[][] {
  return values.map((value, i) => {
    const moved = (by: number) => missesAt(values.map((other, j) => (j === i ? value + by : other)))
    const [up, down] = [moved(1e-4), moved(-1e-4)]
    return up.map((miss, row) => (miss - down[row]!) / 2e-4)
  })
}

function normalMatrix(columns: number[][], damping: number): number[][] {
  return columns.map((a, i) => columns.map((b, j) => dot(a, b) + (i === j ? damping * (dot(a, a) + 1) : 0)))
}

function inverse(matrix: number[][]): number[][] | null {
  const columns = matrix.map((_, i) =>
    solveLinear(
      matrix,
      matrix.map((__, j) => (i === j ? 1 : 0)),
    ),
  )
  return columns.some((column) => column === null) ? null : (columns as number[][])
}
