/**
 * Numbers from 0 up to 1 that look random and are the same for the same seed, so that what rests on them can be repeated.
 * Source: Park and Miller 1988, Random number generators: good ones are hard to find, multiplier 48271 (as revised 1993).
 */
export function seededRandom(seed: number): () => number {
  const modulus = 2_147_483_647
  let state = (Math.abs(Math.trunc(seed)) % (modulus - 1)) + 1
  const next = () => {
    // The product stays below 2^53, so it is exact.
    state = (state * 48_271) % modulus
    return (state - 1) / (modulus - 1)
  }
  // The first numbers of neighbouring seeds lie close together.
  for (let i = 0; i < 10; i++) next()
  return next
}
