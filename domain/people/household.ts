import { ascending, group } from 'd3-array'
import type { CalendarDate } from '../calendar.ts'
import type { Id } from '../id.ts'

/** Persons who are named together from a day on, in the order of writing (`seq`). */
interface Named {
  fromOn: CalendarDate
  seq: number
  personIds: readonly Id<'person'>[]
}
/** Who lives together from a day on; one person alone lives apart from everybody. */
type LivingTogether = Named
/** Who holds a plot from a day on. */
interface HeldTogether extends Named {
  plotId: Id<'plot'>
}

/** All that the book knows of households. */
export interface HouseholdFacts {
  living: readonly LivingTogether[]
  held: readonly HeldTogether[]
}

/**
 * Everybody of the households of some persons on a day, themselves included: who lives with one of them, holds a plot with one, or does
 * so with somebody found thus. Whoever held a plot together stays of one household, until who lives with one of them is written
 * anew for a later day: so a plot that changes hands takes nobody out of a household. **ours**.
 */
export function householdOf(
  facts: HouseholdFacts,
  personIds: readonly Id<'person'>[],
  on: CalendarDate,
): Id<'person'>[] {
  return householdsOn(facts, on)(personIds)
}

/** The same for one person after another: who is bound to whom is worked out once. */
export function householdsOn(
  facts: HouseholdFacts,
  on: CalendarDate,
): (personIds: readonly Id<'person'>[]) => Id<'person'>[] {
  const ties = tiesOn(facts, on)
  return (personIds) => {
    const found = new Set(personIds)
    for (const id of found) for (const other of ties.get(id) ?? []) found.add(other)
    return [...found]
  }
}

/** Whether a new line takes somebody out of a household on any day from its own on. It is written after all others. */
export function partsHousehold({ living, held }: HouseholdFacts, { fromOn, personIds }: Omit<Named, 'seq'>): boolean {
  const line = { fromOn, personIds, seq: Number.POSITIVE_INFINITY }
  const after = { living: [...living, line], held }
  const days = [fromOn, ...[...living, ...held].map((one) => one.fromOn).filter((on) => on > fromOn)]
  return [...new Set(days)].some((on) =>
    personIds.some((id) => {
      const then = householdOf(after, [id], on)
      return householdOf({ living, held }, [id], on).some((other) => !then.includes(other))
    }),
  )
}

/** Who is bound to whom by one step on a day. */
function tiesOn(facts: HouseholdFacts, on: CalendarDate): Map<Id<'person'>, Set<Id<'person'>>> {
  const lives = inForceByPerson(facts.living, on)
  const ties = new Map<Id<'person'>, Set<Id<'person'>>>()
  const tie = (a: Id<'person'>, b: Id<'person'>) => ties.set(a, (ties.get(a) ?? new Set()).add(b))
  for (const [id, line] of lives) for (const other of line.personIds) if (lives.get(other) === line) tie(id, other)
  const begun = facts.held.filter(({ fromOn }) => fromOn <= on)
  const ofPlot = group(begun, ({ plotId }) => plotId)
  for (const spell of begun) {
    const next = nextOf(spell, ofPlot.get(spell.plotId)!)
    for (const a of spell.personIds) {
      for (const b of spell.personIds) if (!next || !isToldSince([lives.get(a), lives.get(b)], next)) tie(a, b)
    }
  }
  return ties
}

/** The line that holds on a day for each person: of the latest day, and of one day the last written. */
function inForceByPerson(living: readonly LivingTogether[], on: CalendarDate): Map<Id<'person'>, LivingTogether> {
  const lines = living.filter(({ fromOn }) => fromOn <= on).toSorted(inOrder)
  return new Map(lines.flatMap((line) => line.personIds.map((id) => [id, line] as const)))
}

/** With whom a plot went on, of all who have held it; undefined while these hold it. */
function nextOf(spell: HeldTogether, ofPlot: readonly HeldTogether[]): HeldTogether | undefined {
  return ofPlot.filter((one) => inOrder(spell, one) < 0).toSorted(inOrder)[0]
}

function isToldSince(lines: readonly (LivingTogether | undefined)[], next: HeldTogether): boolean {
  return lines.some((line) => line !== undefined && inOrder(next, line) < 0)
}

function inOrder(a: Named, b: Named): number {
  return ascending(a.fromOn, b.fromOn) || a.seq - b.seq
}
