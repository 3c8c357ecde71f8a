/** Milliseconds of the fastest of several runs, which other work on the machine has disturbed least. */
export function fastestMs(runs: number, work: () => unknown): number {
  const taken = Array.from({ length: runs }, () => {
    const started = performance.now()
    work()
    return performance.now() - started
  })
  return Math.min(...taken)
}

export async function timedMs<T>(work: () => Promise<T>): Promise<{ ms: number; result: T }> {
  const started = performance.now()
  const result = await work()
  return { ms: performance.now() - started, result }
}

/** Three figures are more than any two runs agree on. */
export function shown(value: number): string {
  return value >= 100 ? String(Math.round(value)) : value.toPrecision(2)
}
