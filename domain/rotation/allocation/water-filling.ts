/** One claim inside a filling: it may hold from `floor` to `ceiling`, and its level is (received + given) / weight. Whole units. */
export interface Filling {
  floor: number
  ceiling: number
  weight: number
  received: number
  /** Which claims draw through the same outlets; they stand and fall together. */
  group: number
}

/** A level at which a claim starts or stops rising: (amount + received) / weight, kept as a fraction. */
export interface Turn {
  filling: Filling
  starts: boolean
  numerator: number
  denominator: number
}

/** Where the level stands: `numerator / denominator`, and what each claim is doing there. */
export interface FilledLevel {
  numerator: number
  denominator: number
  rising: Set<Filling>
  full: Set<Filling>
}

/** Every level at which some claim starts or stops rising, lowest first. Compared exactly. */
export function turnsOf(fillings: readonly Filling[]): Turn[] {
  const turns: Turn[] = []
  for (const filling of fillings) {
    if (filling.floor >= filling.ceiling) continue
    const { received, weight } = filling
    turns.push({ filling, starts: true, numerator: filling.floor + received, denominator: weight })
    turns.push({ filling, starts: false, numerator: filling.ceiling + received, denominator: weight })
  }
  return turns.sort(compareTurns)
}

/**
 * The one level at which claims on a single source use exactly `total`, by going through the levels where a claim
 * starts or stops (each is linear in between), so it is a fraction of whole numbers and not a search to a tolerance.
 * Needs floors <= total < ceilings, in sum.
 */
export function fillTo(total: number, fillings: readonly Filling[], turns: readonly Turn[]): FilledLevel {
  const states = statesBetween(fillings, turns)
  const at = firstTurnAtOrAbove(total, turns, states)
  const { settled, received, weight } = states[at]!
  const level = { rising: new Set<Filling>(), full: new Set<Filling>() }
  for (const { filling, starts } of turns.slice(0, at)) {
    if (starts) level.rising.add(filling)
    else if (level.rising.delete(filling)) level.full.add(filling)
  }
  if (weight > 0) return { ...level, numerator: total - settled + received, denominator: weight }
  const turn = turns[at]!
  return { ...level, numerator: turn.numerator, denominator: turn.denominator }
}

function compareTurns(a: Turn, b: Turn): number {
  const difference = a.numerator / a.denominator - b.numerator / b.denominator
  if (difference !== 0) return difference
  const exact = BigInt(a.numerator) * BigInt(b.denominator) - BigInt(b.numerator) * BigInt(a.denominator)
  return exact < 0n ? -1 : exact > 0n ? 1 : 0
}

/** Sums just below each turn: what is settled (at a floor or a ceiling), and the received and weight of what is rising. */
interface Sums {
  settled: number
  received: number
  weight: number
}

function statesBetween(fillings: readonly Filling[], turns: readonly Turn[]): Sums[] {
  let sums: Sums = { settled: 0, received: 0, weight: 0 }
  for (const filling of fillings) sums.settled += filling.floor
  return turns.map(({ filling, starts }) => {
    const before = sums
    const sign = starts ? 1 : -1
    sums = {
      settled: before.settled + (starts ? -filling.floor : filling.ceiling),
      received: before.received + sign * filling.received,
      weight: before.weight + sign * filling.weight,
    }
    return before
  })
}

function firstTurnAtOrAbove(total: number, turns: readonly Turn[], states: readonly Sums[]): number {
  let low = 0
  let high = turns.length - 1
  while (low < high) {
    const middle = (low + high) >> 1
    if (usedAt(turns[middle]!, states[middle]!, total)) high = middle
    else low = middle + 1
  }
  return low
}

function usedAt({ numerator, denominator }: Turn, { settled, received, weight }: Sums, total: number): boolean {
  return BigInt(numerator) * BigInt(weight) >= BigInt(total - settled + received) * BigInt(denominator)
}
