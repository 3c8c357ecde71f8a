import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type Mark, markKey } from '../../../domain/people/mark/pictures.ts'
import { restsUntil } from '../../../domain/people/mark/resting.ts'
import { inForce } from '../../book/standing.ts'

export interface MarkFact {
  entryId: string
  seq: number
  personId: Id<'person'>
  name: string
  fromOn: CalendarDate
  mark: Mark | null
}

/** Who goes by a mark, or went by it until lately: `restsUntilOn` is null while it is in use. */
interface Taken {
  name: string
  restsUntilOn: CalendarDate | null
}

interface Asked {
  on: CalendarDate
  season: { seasonStartOn: CalendarDate; seasonEndOn: CalendarDate }
  /** Whoever asks may take up again what was theirs. */
  exceptPersonId: Id<'person'>
}

/** The marks that nobody else may choose on a day, by their keys: those in use and those that rest. */
export function marksTaken(facts: readonly MarkFact[], { on, season, exceptPersonId }: Asked): Map<string, Taken> {
  const taken = new Map<string, Taken>()
  const others = facts.filter(({ personId }) => personId !== exceptPersonId)
  for (const fact of others) {
    if (!fact.mark) continue
    const next = others.find(({ personId, seq }) => personId === fact.personId && seq > fact.seq)
    const restsUntilOn = next ? restsUntil(next.fromOn, season) : null
    const isTaken = restsUntilOn === null || restsUntilOn >= on
    const key = markKey(fact.mark)
    if (isTaken && taken.get(key)?.restsUntilOn !== null) taken.set(key, { name: fact.name, restsUntilOn })
  }
  return taken
}

/** The mark that each person goes by on a day. */
export function marksOn(facts: readonly MarkFact[], on: CalendarDate): Map<string, Mark> {
  const marks = new Map<string, Mark>()
  for (const personId of new Set(facts.map((fact) => fact.personId))) {
    const own = facts.filter((fact) => fact.personId === personId)
    const mark = inForce(own, on)?.mark
    if (mark) marks.set(personId, mark)
  }
  return marks
}
