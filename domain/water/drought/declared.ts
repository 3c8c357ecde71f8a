import { ascending } from 'd3-array'
import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'

interface Declared {
  id: string
  fromOn: CalendarDate
  /** Place in the book: of two on the same day the later written counts. */
  seq: number
}

interface Lifted {
  declarationId: Id<'declaration'>
  /** From this day on it no longer holds. */
  liftedOn: CalendarDate
}

/** The declaration in force on a day: the last one made, unless it was lifted by then. A later one takes the place of an earlier. */
export function declaredOn<D extends Declared>({
  declarations,
  lifts,
  on,
}: {
  declarations: readonly D[]
  lifts: readonly Lifted[]
  on: CalendarDate
}): D | null {
  const made = declarations.filter(({ fromOn }) => fromOn <= on)
  const last = made.sort((a, b) => ascending(a.fromOn, b.fromOn) || a.seq - b.seq).at(-1)
  const isLifted = lifts.some(({ declarationId, liftedOn }) => declarationId === last?.id && liftedOn <= on)
  return last && !isLifted ? last : null
}
