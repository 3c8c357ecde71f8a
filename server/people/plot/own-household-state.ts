import type { CalendarDate } from '../../../domain/calendar.ts'
import { ownHousehold } from '../../book/names/own-matter.ts'
import { holderIdsOn } from './store.ts'

/** The plots that the household of whoever writes holds on a day; none while the book is new. */
export async function plotsOfOwnHousehold(
  writing: Parameters<typeof ownHousehold>[0],
  on: CalendarDate,
): Promise<ReadonlySet<string>> {
  const own = await ownHousehold(writing)
  if (own.length === 0) return new Set()
  const holders = [...(await holderIdsOn(writing.db, on))]
  return new Set(holders.filter(([, ids]) => ids.some((id) => own.includes(id))).map(([plotId]) => plotId))
}
