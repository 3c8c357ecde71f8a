/** Misses of the last quarter of an hour: of one name from one device, of one name from everywhere; and how many names one address missed. */
interface Misses {
  together: number
  ofName: number
  fromAddress: number
}

const FREE = { together: 3, ofName: 20, fromAddress: 30 }
const LONGEST_S = 8

/**
 * How long the next try at the door waits, as a count of seconds. Whoever mistypes waits 1, 2, 4, then 8; a name that is tried from many places and an
 * address that tries many names wait 4. Nobody waits longer than 8 seconds, so that nobody is locked out by others. Own choice, no
 * source; that guessing is slowed down by the device that was let in before: OWASP, Slow Down Online Guessing Attacks with Device
 * Cookies (from memory).
 */
export function waitSeconds({ together, ofName, fromAddress }: Misses): number {
  const own = together < FREE.together ? 0 : Math.min(LONGEST_S, 2 ** (together - FREE.together))
  const others = ofName >= FREE.ofName || fromAddress >= FREE.fromAddress ? LONGEST_S / 2 : 0
  return Math.max(own, others)
}
