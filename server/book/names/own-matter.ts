import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { householdOf } from '../../../domain/people/household.ts'
import type { Database } from '../../database/connection.ts'
import { isNewBook } from './first-days.ts'
import { holdersOf, householdFacts } from './household.ts'

/** Who writes, where and when. */
interface Writing {
  db: Database
  person: { id: Id<'person'> }
  today: CalendarDate
  at: Date
}

/**
 * For whom an officer writes nothing that gives land, water or money: the own household, once the book is no longer new. Another officer
 * writes it.
 */
export async function ownHousehold({ db, person, today, at }: Writing): Promise<readonly Id<'person'>[]> {
  if (await isNewBook(db, at.toISOString())) return []
  return householdOf(await householdFacts(db), [person.id], today)
}

/** Whether one of these is of the own household. */
export async function isOwnMatter(writing: Writing, personIds: readonly Id<'person'>[]): Promise<boolean> {
  const own = await ownHousehold(writing)
  return personIds.some((id) => own.includes(id))
}

interface Taken {
  plotId: Id<'plot'> | null
  takerId: Id<'person'> | null
  onDate: CalendarDate
}

/** Whether a draw on a plot of the own household would be charged to somebody outside it, who is named as its taker. */
export async function othersPayOwn(writing: Writing, { plotId, takerId, onDate }: Taken): Promise<boolean> {
  if (plotId === null || takerId === null) return false
  const holders = await holdersOf(writing.db, plotId, onDate)
  return (await isOwnMatter(writing, holders)) && !(await isOwnMatter(writing, [takerId]))
}
