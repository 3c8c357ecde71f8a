import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { householdOf } from '../../../domain/people/household.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import { householdFacts } from '../../book/names/household.ts'
import { inForce } from '../../book/standing.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** The plots that the household of whoever writes holds on a day; none while the book is new. */
export async function plotsOfOwnHousehold(
  { db, person, today, at }: Pick<Desk, 'db' | 'person' | 'today' | 'at'>,
  on: CalendarDate,
): Promise<ReadonlySet<string>> {
  const facts = await householdFacts(db)
  const own = householdOf(facts, [person.id], today)
  const held = [...group(facts.held, ({ plotId }) => plotId).values()].flatMap((spells) => inForce(spells, on) ?? [])
  const plots = held.filter(({ personIds }) => personIds.some((id) => own.includes(id)))
  if (plots.length === 0 || (await isNewBook(db, at.toISOString()))) return new Set()
  return new Set(plots.map(({ plotId }) => plotId))
}
