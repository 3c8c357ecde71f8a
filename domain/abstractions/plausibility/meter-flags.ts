import { exactM3, type M3 } from '../../units.ts'
import { meterPassedM3, rolledOverM3 } from '../draw/meter.ts'
import { type Flag, type LikelyCause, type PlausibilityInput, turnHours } from './logged-turn.ts'
import { mostCounted } from './most-counted.ts'

/** Readings closer than a litre are the same reading. */
const SAME_M3 = 0.0005

/** What the readings say: run back, faster than can be, more than planned, or not joined to the neighbours'. */
export function meterFlags(input: PlausibilityInput): Flag[] {
  const flags = [runBackFlags, tooLongFlags, wholeDayFlags, speedFlags, neighbourFlags]
  return flags.flatMap((judge) => judge(input))
}

function runBackFlags(input: PlausibilityInput): Flag[] {
  const { openingM3, closingM3, meterDigits } = input.turn
  if (openingM3 === undefined || closingM3 === undefined || closingM3 >= openingM3) return []
  const mostM3 = mostBelievableM3(input)
  const values = { openingM3, closingM3 }
  const flag = (likelyCause: LikelyCause, more = {}): Flag[] => [
    { code: 'closing-below-opening', values: { ...values, ...more }, likelyCause },
  ]
  const rolledM3 = rolledOverM3({ openingM3, closingM3, meterDigits, mostM3 })
  if (rolledM3 !== null) return flag('meter-rolled-over', { volumeM3: rolledM3 })
  const swap = swapFor(input, mostM3)
  if (swap) return flag('digits-swapped', swap)
  const known = mostM3 < Number.POSITIVE_INFINITY
  const volumeM3 = exactM3(openingM3 - closingM3)
  if (known && volumeM3 <= mostM3) return flag('readings-exchanged', { volumeM3 })
  return flag('cannot-tell')
}

function tooLongFlags({ turn }: PlausibilityInput): Flag[] {
  const { openingM3 = 0, closingM3 = 0, meterDigits } = turn
  const readingM3 = Math.max(openingM3, closingM3)
  if (meterDigits === undefined || readingM3 < 10 ** meterDigits) return []
  return [{ code: 'reading-longer-than-meter', values: { readingM3, meterDigits }, likelyCause: 'litres-read-as-m3' }]
}

/** Without clock times nothing is known of the speed, but no turn takes more than the pump gives in a day. */
function wholeDayFlags(input: PlausibilityInput): Flag[] {
  const most = mostCounted(input)
  const volumeM3 = drawnM3(input)
  if (!most || volumeM3 === null || turnHours(input.turn) !== null || volumeM3 <= most.wholeDayM3) return []
  const swap = swapFor(
    input,
    mostBelievableM3(input) < Number.POSITIVE_INFINITY ? mostBelievableM3(input) : most.mostM3,
  )
  const inLitres = volumeM3 > 50 * most.mostM3 && volumeM3 / 1000 <= most.mostM3
  const byReadings = swap ? 'digits-swapped' : inLitres ? 'litres-read-as-m3' : 'reading-copied-wrong'
  const likelyCause = isMetered(input) ? byReadings : 'amount-written-wrong'
  return [{ code: 'more-than-a-pump-day', values: { volumeM3, mostM3: most.wholeDayM3, ...swap }, likelyCause }]
}

function speedFlags(input: PlausibilityInput): Flag[] {
  const volumeM3 = drawnM3(input)
  const hours = turnHours(input.turn)
  const tolerance = 1 + (input.toleranceFraction ?? 0.1)
  if (volumeM3 === null) return []
  const flags: Flag[] = []
  const faster = (code: 'faster-than-pump' | 'faster-than-outlet', mostM3PerH: number | undefined) => {
    if (hours === null || mostM3PerH === undefined || volumeM3 <= exactM3(mostM3PerH * tolerance * hours)) return
    const cause = causeOfSpeed(input, code)
    const values = { volumeM3, flowM3PerH: volumeM3 / hours, mostM3PerH, ...cause.values }
    flags.push({ code, values, likelyCause: cause.likelyCause })
  }
  faster('faster-than-pump', input.pumpMaxM3PerH)
  faster('faster-than-outlet', input.outletMaxM3PerH)
  const plannedM3 = input.plan?.volumeM3
  if (plannedM3 !== undefined && volumeM3 > exactM3(plannedM3 * tolerance)) {
    flags.push({ code: 'more-than-planned', values: { volumeM3, plannedM3 }, likelyCause: causeOfExcess(input) })
  }
  return flags
}

function causeOfSpeed(
  input: PlausibilityInput,
  code: 'faster-than-pump' | 'faster-than-outlet',
): { likelyCause: LikelyCause; values: Record<string, number> } {
  const mostM3 = mostBelievableM3(input)
  const swap = swapFor(input, mostM3)
  if (swap) return { likelyCause: 'digits-swapped', values: swap }
  const volumeM3 = drawnM3(input)!
  if (volumeM3 > 50 * mostM3 && volumeM3 / 1000 <= mostM3) return { likelyCause: 'litres-read-as-m3', values: {} }
  if (code === 'faster-than-pump') return { likelyCause: 'date-or-clock-wrong', values: {} }
  const pumpCould =
    input.pumpMaxM3PerH !== undefined && volumeM3 <= exactM3(input.pumpMaxM3PerH * (turnHours(input.turn) ?? 0))
  return { likelyCause: pumpCould ? 'two-outlets-open' : 'flow-test-out-of-date', values: {} }
}

function causeOfExcess(input: PlausibilityInput): LikelyCause {
  if (!isMetered(input)) return 'amount-written-wrong'
  return swapFor(input, mostBelievableM3(input)) ? 'digits-swapped' : 'unrecorded-taker'
}

/** Hours, a bucket or a count show nothing of other takers and have no reading that could be copied wrong. */
function isMetered({ turn }: PlausibilityInput): boolean {
  return turn.volumeM3 === undefined
}

function neighbourFlags(input: PlausibilityInput): Flag[] {
  const { turn, previousClosingM3, nextOpeningM3 } = input
  const { openingM3, closingM3, meterDigits } = turn
  const mostM3 = mostCounted(input)?.wholeDayM3
  const flags: Flag[] = []
  if (openingM3 !== undefined && previousClosingM3 !== undefined) {
    const joined = joint({ earlierM3: previousClosingM3, laterM3: openingM3, meterDigits, mostM3 })
    if (joined) flags.push({ code: 'gap-to-last-reading', ...joined })
  }
  if (closingM3 !== undefined && nextOpeningM3 !== undefined) {
    const joined = joint({ earlierM3: closingM3, laterM3: nextOpeningM3, meterDigits, mostM3 })
    if (joined) flags.push({ code: 'gap-to-next-reading', ...joined })
  }
  return flags
}

interface Joint {
  earlierM3: M3
  laterM3: M3
  meterDigits: number | undefined
  /** The most that the pump gives in a day. */
  mostM3: M3 | undefined
}

/** Of a gap that a pump would need a month to fill, or that runs back further than it gives in a day, another meter is the likelier cause. Own choice, no source. */
const DAYS_BEYOND_BELIEF = 30

/** Between a closing and the opening after it nothing should have passed, but for what the last digits hide. */
function joint({ earlierM3, laterM3, meterDigits, mostM3 }: Joint): Omit<Flag, 'code'> | null {
  const gapM3 = rolledOverM3({ openingM3: earlierM3, closingM3: laterM3, meterDigits }) ?? exactM3(laterM3 - earlierM3)
  if (Math.abs(gapM3) < (stepM3(earlierM3) + stepM3(laterM3)) / 2 + SAME_M3) return null
  const same = (candidate: number) => Math.abs(candidate - earlierM3) < SAME_M3
  const swapped = soleSwap({ readingM3: laterM3, meterDigits, accepts: same })
  const values = { earlierM3, laterM3, gapM3 }
  if (swapped !== null) return { values: { ...values, suggestedM3: swapped }, likelyCause: 'digits-swapped' }
  const isOther = mostM3 !== undefined && (gapM3 > DAYS_BEYOND_BELIEF * mostM3 || -gapM3 > mostM3)
  if (isOther) return { values, likelyCause: 'meter-replaced' }
  return { values, likelyCause: gapM3 > 0 ? 'unrecorded-taker' : 'reading-copied-wrong' }
}

/** The last step that was read, at most a tenth: a whole number may be one that ended in a nought. */
function stepM3(readingM3: M3): number {
  return 10 ** -Math.min(3, Math.max(1, String(readingM3).split('.')[1]?.length ?? 0))
}

/**
 * The swap of digits that makes the volume believable, in the closing reading first. A reading that the neighbouring
 * turn's shows too is vouched for and left alone, unless nobody read it there.
 */
function swapFor(input: PlausibilityInput, mostM3: M3): Record<string, number> | null {
  const { openingM3, closingM3, meterDigits } = input.turn
  if (openingM3 === undefined || closingM3 === undefined || mostM3 === Number.POSITIVE_INFINITY) return null
  const believable = (volumeM3: M3) => volumeM3 > 0 && volumeM3 <= mostM3
  const isNextSame = input.nextOpeningM3 === closingM3 && !input.nextStartUnread
  const isLastSame = input.previousClosingM3 === openingM3 && !input.startUnread
  const swapUnless = (vouched: boolean, readingM3: M3, accepts: (m3: M3) => boolean) =>
    vouched ? null : soleSwap({ readingM3, meterDigits, accepts })
  const closing = swapUnless(isNextSame, closingM3, (m3) => believable(m3 - openingM3))
  if (closing !== null) return { suggestedClosingM3: closing, suggestedVolumeM3: exactM3(closing - openingM3) }
  const opening = swapUnless(isLastSame, openingM3, (m3) => believable(closingM3 - m3))
  if (opening !== null) return { suggestedOpeningM3: opening, suggestedVolumeM3: exactM3(closingM3 - opening) }
  return null
}

/** The largest volume this turn can have had, by the slower of pump and outlet, else by twice its plan; else endless. */
export function mostBelievableM3({
  turn,
  pumpMaxM3PerH,
  outletMaxM3PerH,
  plan,
  toleranceFraction = 0.1,
}: PlausibilityInput) {
  const hours = turnHours(turn)
  const mostM3PerH = Math.min(pumpMaxM3PerH ?? Number.POSITIVE_INFINITY, outletMaxM3PerH ?? Number.POSITIVE_INFINITY)
  const byFlowM3 = hours === null ? Number.POSITIVE_INFINITY : exactM3(hours * mostM3PerH * (1 + toleranceFraction))
  if (byFlowM3 < Number.POSITIVE_INFINITY) return byFlowM3
  return plan?.volumeM3 === undefined ? Number.POSITIVE_INFINITY : 2 * plan.volumeM3
}

function drawnM3({ turn }: PlausibilityInput): number | null {
  if (turn.volumeM3 !== undefined) return turn.volumeM3
  if (turn.openingM3 === undefined || turn.closingM3 === undefined) return null
  const { openingM3, closingM3, meterDigits } = turn
  return meterPassedM3({ openingM3, closingM3, meterDigits }).volumeM3
}

/** The one swap that makes sense of a reading; null when none does, or several do and nobody can tell. */
function soleSwap({
  readingM3,
  meterDigits,
  accepts,
}: {
  readingM3: number
  meterDigits?: number
  accepts: (candidateM3: number) => boolean
}): number | null {
  const fitting = swappedReadings({ readingM3, meterDigits }).filter(accepts)
  return fitting.length === 1 ? fitting[0]! : null
}

/**
 * Readings that come from the written one by swapping two neighbouring digits of its whole part, the commonest slip of
 * the pen (common practice, no source). Digits are padded to the meter's width, so that 00041 may have been 00014.
 */
function swappedReadings({ readingM3, meterDigits = 0 }: { readingM3: number; meterDigits?: number }): number[] {
  const [whole = '', part] = String(readingM3).split('.')
  const digits = whole.padStart(meterDigits, '0')
  const swaps = new Set<number>()
  for (let at = 0; at < digits.length - 1; at += 1) {
    const swapped = digits.slice(0, at) + digits[at + 1] + digits[at] + digits.slice(at + 2)
    if (swapped !== digits) swaps.add(Number(part === undefined ? swapped : `${swapped}.${part}`))
  }
  return [...swaps]
}
