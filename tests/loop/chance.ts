/** Draws of a seeded world: the same seed gives the same season on every machine. */
export interface Chance {
  /** From 0 up to 1. */
  part(): number
  between(low: number, high: number): number
  /** Of the normal distribution with mean 0 and deviation 1, by Box and Muller (1958). */
  normal(): number
  happens(likelihood: number): boolean
  oneOf<T>(values: readonly T[]): T
}

/** Xorshift with the shifts 13, 17 and 5 (Marsaglia 2003, Journal of Statistical Software 8). */
export function chanceOf(seed: number): Chance {
  let state = (Math.imul(seed + 1, 2654435761) ^ 0x9e3779b9) | 0 || 1
  const part = () => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return (state >>> 0) / 4294967296
  }
  for (let thrown = 0; thrown < 16; thrown++) part()
  return {
    part,
    between: (low, high) => low + part() * (high - low),
    normal: () => Math.sqrt(-2 * Math.log(1 - part())) * Math.cos(2 * Math.PI * part()),
    happens: (likelihood) => part() < likelihood,
    oneOf: (values) => values[Math.floor(part() * values.length)]!,
  }
}
