/**
 * The sum of numbers, or of what is read from each thing, added in their order; 0 of none. The unit is that of what is added.
 * A value that is no number makes the whole sum none either: nothing is passed over in silence.
 */
export function sum(numbers: Iterable<number>): number
export function sum<T>(things: Iterable<T>, of: (thing: T) => number): number
export function sum<T>(things: Iterable<T>, of: (thing: T) => number = Number): number {
  let total = 0
  for (const thing of things) total += of(thing)
  return total
}

/** The mean of numbers, or of what is read from each thing, in their own unit; NaN of none. */
export function mean(numbers: readonly number[]): number
export function mean<T>(things: readonly T[], of: (thing: T) => number): number
export function mean<T>(things: readonly T[], of: (thing: T) => number = Number): number {
  return sum(things, of) / things.length
}
