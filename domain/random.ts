/**
 * Numbers from 0 up to 1 that look random and are the same for the same seed on every machine, so that what rests on them
 * can be repeated: a 32-bit linear congruential step, its high bits mixed down.
 * Source: Press and others, Numerical Recipes, "an even quicker generator" (multiplier 1664525, increment 1013904223), from memory.
 */
export function seededRandom(seed: number): () => number {
  let state = seed
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0
    const mixed = Math.imul(state ^ (state >>> 15), 2246822519)
    return ((mixed ^ (mixed >>> 13)) >>> 0) / 2 ** 32
  }
}
