import type { CalendarDate } from '../../domain/calendar.ts'
import type { Id } from '../../domain/id.ts'
import { daysOfWeek, fallsOn } from '../../domain/weeks.ts'
import { restDaysAmong } from '../water/stream/rest-store.ts'
import { listWeirs } from '../water/weir/store.ts'
import type { Values } from '../web/figures/locale.ts'
import type { Desk } from '../web/pages/desk.ts'
import { listOutlets, listPumps } from '../works/pump/store.ts'
import { dayInWeek } from './day-in-week.ts'

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

/** The same for the day that a request wishes, from the screen or from paper; and a day that does not lie in its week. */
export async function wishRefusal(
  desk: Pick<Desk, 'db' | 'format' | 'group'>,
  asked: { weekStartOn: CalendarDate; wishedDay: string | null; everyWeek: boolean },
  { outletIds }: { outletIds: readonly Id<'outlet'>[] },
): Promise<[key: string, values: Values] | null> {
  const { weekStartOn, wishedDay, everyWeek } = asked
  if (wishedDay === null) return null
  const day = dayInWeek(wishedDay)
  const days = daysOfWeek(weekStartOn, desk.group)
  const on = days.find((each) => fallsOn(each, day, desk.group))
  if (on) return restRefusal(desk, { on, outletIds })
  const values = { start: desk.format.weekday(days[0]!), end: desk.format.weekday(days.at(-1)!) }
  return everyWeek ? null : ['rotation.request.day-not-in-week', values]
}
