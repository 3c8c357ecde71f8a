/** A nought too many makes ten times as much. Own choice, no source. */
const TIMES_OWED = 10
/** Whoever pays a season ahead pays more than is owed, but seldom five times what anybody ever did. Own choice, no source. */
const TIMES_MOST = 5

/**
 * Whether a payment is likelier mistyped than paid ahead: more than ten times what its payer owes, and more than five times the most that anybody
 * owes or has paid at once. Minor units; an account paid ahead owes nothing. A book in which nobody owes or has paid has no measure of it.
 */
export function isFarMore({
  amountMinor,
  owesMinor,
  mostMinor,
}: {
  amountMinor: number
  owesMinor: number
  mostMinor: number
}): boolean {
  if (mostMinor <= 0) return false
  return amountMinor > TIMES_OWED * Math.max(0, owesMinor) && amountMinor > TIMES_MOST * mostMinor
}
