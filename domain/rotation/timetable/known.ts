/** What was laid before for a pump or a tank in the same hours, by what was to be done: the same work gets the same turns. */
export type KnownParts = Map<string, unknown>

/** Lays it only where it is not known; what was asked for longest ago stands first. */
export function laidOnce<T>(known: KnownParts, work: unknown, lay: () => T): T {
  const key = JSON.stringify(work)
  const laid = (known.get(key) as T | undefined) ?? lay()
  known.delete(key)
  known.set(key, laid)
  return laid
}
