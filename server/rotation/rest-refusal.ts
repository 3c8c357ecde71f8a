import { type CalendarDate, weekdayOf } from '../../domain/calendar.ts'
import type { Id } from '../../domain/id.ts'
import { daysOfWeek } from '../../domain/weeks.ts'
import { restDaysAmong } from '../water/stream/rest-store.ts'
import { listWeirs } from '../water/weir/store.ts'
import type { Values } from '../web/figures/locale.ts'
import type { Desk } from '../web/pages/desk.ts'
import { listOutlets, listPumps } from '../works/pump/store.ts'

/** The rule of the stream in its own words, where every weir that could serve these outlets rests on a day; null where none forbids it. */
export async function restRefusal(
  { db, format }: Pick<Desk, 'db' | 'format'>,
  { on, outletIds }: { on: CalendarDate; outletIds: readonly Id<'outlet'>[] },
): Promise<[key: string, values: Values] | null> {
  const [rest] = await restDaysAmong(db, [on])
  if (!rest) return null
  const outlets = (await listOutlets(db, on)).filter(({ id }) => outletIds.includes(id))
  const pumps = (await listPumps(db, on)).filter(({ id }) => outlets.some(({ pumpId }) => pumpId === id))
  if (pumps.length === 0 || pumps.some(({ weirId }) => !rest.weirIds.includes(weirId))) return null
  const weirs = (await listWeirs(db)).filter(({ id }) => pumps.some(({ weirId }) => weirId === id))
  const weir = weirs.map(({ number }) => number).join(', ')
  return ['stream.rest.refused', { day: format.weekday(on), weir, words: rest.words ?? '' }]
}

/** The same for the day that a request wishes, from the screen or from paper. */
export async function wishOnRestDay(
  desk: Pick<Desk, 'db' | 'format' | 'group'>,
  { weekStartOn, wishedDay }: { weekStartOn: CalendarDate; wishedDay: string | null },
  { outletIds }: { outletIds: readonly Id<'outlet'>[] },
): Promise<[key: string, values: Values] | null> {
  const on = daysOfWeek(weekStartOn, desk.group).find((day) => String(weekdayOf(day)) === wishedDay)
  return on ? restRefusal(desk, { on, outletIds }) : null
}
