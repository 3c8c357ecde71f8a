/** Who decides and writes minutes. */
export const DECIDING_BODIES = ['meeting', 'committee'] as const
export type DecidingBody = (typeof DECIDING_BODIES)[number]

/** Which part of those who may vote has to be there. */
export const QUORUM_PARTS = ['third', 'half', 'more-than-half', 'two-thirds'] as const
export type QuorumPart = (typeof QUORUM_PARTS)[number]

/**
 * How many persons have to be present, of those who may vote: part persons count as one more, and "more than half" of 20 are 11.
 * Source: Robert's Rules of Order, newly revised, 12th edition, 44:1 and 44:5 (from memory): a majority of 19 is 10, of 20 is 11;
 * two thirds of 30 are 20, of 31 are 21.
 */
export function quorumOf({ part, mayVote }: { part: QuorumPart; mayVote: number }): number {
  if (part === 'more-than-half') return Math.floor(mayVote / 2) + 1
  const [parts, of] = { third: [1, 3], half: [1, 2], 'two-thirds': [2, 3] }[part] as [number, number]
  return Math.ceil((mayVote * parts) / of)
}

/**
 * Whether more voted for it than against; those who abstained are not counted. Null where nobody counted.
 * Source: Robert's Rules of Order, newly revised, 12th edition, 44:1 (from memory): more than half of the votes cast, abstentions excluded.
 */
export function carried({
  votesFor,
  votesAgainst,
}: {
  votesFor: number | null
  votesAgainst: number | null
}): boolean | null {
  return votesFor === null || votesAgainst === null ? null : votesFor > votesAgainst
}

/** What two writings of one number have in common: ` Min. 12/3 ` and `min 12 / 3` are one. **ours**. */
export function numberKey(number: string): string {
  return number.toLowerCase().replace(/[\s.]+/g, '')
}
