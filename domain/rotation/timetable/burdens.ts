import type { Burden, BurdenCounts, PlannedTurn } from './types.ts'

/** What people call a hard hour. Common practice, no source. */
const DAWN_UNTIL = 8 * 60
const NOON_FROM = 12 * 60
const NOON_TO = 14 * 60
const NOON_AT_LEAST_MINUTES = 30
const NIGHT_UNTIL = 6 * 60
const NIGHT_FROM = 19 * 60

export const BURDENS: Burden[] = ['dawn', 'noon', 'night', 'rest-weekday', 'last']

/** The hard hours that a turn takes. `isLast` says that it closes a day on which its pump serves several. */
export function turnBurdens(turn: TurnTime): Burden[] {
  return BURDENS.filter((burden) => isBorne(burden, turn))
}

export interface TurnTime {
  startMinute: number
  endMinute: number
  onBurdenWeekday: boolean
  isLast: boolean
}

/** True when the turn is of the kind that its holder bears: times in minutes after midnight. The hours are common practice, no source. */
export function isBorne(burden: Burden, { startMinute, endMinute, onBurdenWeekday, isLast }: TurnTime): boolean {
  switch (burden) {
    case 'dawn':
      return startMinute < DAWN_UNTIL
    case 'noon':
      return Math.min(endMinute, NOON_TO) - Math.max(startMinute, NOON_FROM) >= NOON_AT_LEAST_MINUTES
    case 'night':
      return startMinute < NIGHT_UNTIL || endMinute > NIGHT_FROM
    case 'rest-weekday':
      return onBurdenWeekday
    case 'last':
      return isLast
  }
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
