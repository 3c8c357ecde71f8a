import type { Burden, BurdenCounts, PlannedTurn } from './timetable-types.ts'

/** What people call a hard hour. Common practice, no source. */
const DAWN_UNTIL = 8 * 60
const NOON_FROM = 12 * 60
const NOON_TO = 14 * 60
const NOON_AT_LEAST_MINUTES = 30
const NIGHT_UNTIL = 6 * 60
const NIGHT_FROM = 19 * 60

/** The hard hours that a turn takes. `isLast` says that it closes a day on which its pump serves several. */
export function turnBurdens(turn: {
  startMinute: number
  endMinute: number
  onBurdenWeekday: boolean
  isLast: boolean
}): Burden[] {
  const { startMinute, endMinute } = turn
  const noonMinutes = Math.min(endMinute, NOON_TO) - Math.max(startMinute, NOON_FROM)
  const burdens: Burden[] = []
  if (startMinute < DAWN_UNTIL) burdens.push('dawn')
  if (noonMinutes >= NOON_AT_LEAST_MINUTES) burdens.push('noon')
  if (startMinute < NIGHT_UNTIL || endMinute > NIGHT_FROM) burdens.push('night')
  if (turn.onBurdenWeekday) burdens.push('rest-weekday')
  if (turn.isLast) burdens.push('last')
  return burdens
}

/** The season's counts after a week's turns; the given counts stay as they are. */
export function addBurdens({
  history,
  turns,
}: {
  history: Record<string, BurdenCounts>
  turns: Pick<PlannedTurn, 'plotId' | 'burdens'>[]
}): Record<string, BurdenCounts> {
  const counts = Object.fromEntries(Object.entries(history).map(([plotId, own]) => [plotId, { ...own }]))
  for (const { plotId, burdens } of turns) {
    const own = counts[plotId] ?? {}
    for (const burden of burdens) own[burden] = (own[burden] ?? 0) + 1
    counts[plotId] = own
  }
  return counts
}
