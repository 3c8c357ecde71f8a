/** How often a property is drawn: so often in the test line, a hundred times that under `npm run bench:properties`. */
export function runs(count: number): { numRuns: number } {
  return { numRuns: count * Number(process.env.PROPERTY_TIMES ?? 1) }
}
