import { addDays } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'
import { rolesOf } from '../person/store.ts'
import { lastTerms } from './store.ts'

/** So long before its end a term is told on the first page. Own choice, no source. */
const TELL_BEFORE_DAYS = 30

/** Terms that end within a month or have ended, of whoever still holds that office. */
export async function endingTerms(db: Database, today: string) {
  const ending = (await lastTerms(db)).filter(({ untilOn }) => untilOn <= addDays(today, TELL_BEFORE_DAYS))
  const held = await Promise.all(
    ending.map(async (term) => (await rolesOf(db, term.personId, today)).includes(term.office)),
  )
  return ending.filter((_, at) => held[at])
}
