/** The x of a x = b by Gauss elimination with row exchange; null for a matrix that is as good as singular. */
export function solveLinear(matrix: readonly (readonly number[])[], right: readonly number[]): number[] | null {
  const rows = matrix.map((row, i) => [...row, right[i]!])
  const size = rows.length
  for (let pivot = 0; pivot < size; pivot++) {
    let best = pivot
    for (let row = pivot + 1; row < size; row++)
      if (Math.abs(rows[row]![pivot]!) > Math.abs(rows[best]![pivot]!)) best = row
    ;[rows[pivot], rows[best]] = [rows[best]!, rows[pivot]!]
    const head = rows[pivot]!
    if (!(Math.abs(head[pivot]!) > 0)) return null
    for (let row = pivot + 1; row < size; row++) {
      const share = rows[row]![pivot]! / head[pivot]!
      if (share === 0) continue
      for (let column = pivot; column <= size; column++) rows[row]![column]! -= share * head[column]!
    }
  }
  const found = new Array<number>(size).fill(0)
  for (let row = size - 1; row >= 0; row--) {
    const known = rows[row]!.slice(row + 1, size).reduce((sum, value, i) => sum + value * found[row + 1 + i]!, 0)
    found[row] = (rows[row]![size]! - known) / rows[row]![row]!
  }
  return found.every(Number.isFinite) ? found : null
}

/** Sum of the products of two rows, in the unit of the one times that of the other. */
export function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * b[i]!, 0)
}
