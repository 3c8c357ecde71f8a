import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type HouseholdFacts, householdOf } from '../../../domain/people/household.ts'
import type { TurnFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { type DayInWeek, fallsOn, type WeekRhythm } from '../../../domain/weeks.ts'
import { mustStand } from '../../book/correction-store.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { householdFacts } from '../../book/names/household.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { Plot } from '../../people/plot/store.ts'

/** Why nobody waters: by rest, market, prayer, mourning or school, or for something else. */
export const CUSTOM_CAUSES = ['rest', 'market', 'prayer', 'mourning', 'school', 'other'] as const

/** Days, or hours of days that come round, on which the whole group or one household does not water. */
interface Custom extends DayInWeek {
  cause: (typeof CUSTOM_CAUSES)[number]
  /** Somebody of the household; null for the whole group. */
  personId: Id<'person'> | null
  fromOn: CalendarDate
  untilOn: CalendarDate | null
  fromHour: number
  toHour: number
  words: string
}

interface WrittenCustom extends Custom {
  id: string
  personName: string | null
}

export async function addCustom(pen: Pen, custom: Custom): Promise<string> {
  const { cause, personId, fromOn, untilOn, weekday, marketDay, fromHour, toHour, words } = custom
  const row = { cause, personId, fromOn, untilOn, weekday, marketDay, fromHour, toHour, words }
  return appendEntry(pen, { kind: 'no-turn-custom', forPersonId: personId }, { noTurnCustom: [row] })
}

/** Ends what a group or a household kept free; it stays readable with the reason. */
export async function strikeCustom(pen: Pen, id: string, reason: string): Promise<string> {
  await mustStand(pen.trx, id)
  return appendEntry(pen, { kind: 'no-turn-custom', correctsId: id, reason }, {})
}

/** Those that hold on some day from one day to another. */
export async function customsOn(db: Database, fromOn: CalendarDate, toOn: CalendarDate): Promise<WrittenCustom[]> {
  const rows = await db
    .selectFrom('noTurnCustom')
    .leftJoin('person', 'person.entryId', 'noTurnCustom.personId')
    .selectAll('noTurnCustom')
    .select('person.name as personName')
    .where('fromOn', '<=', toOn)
    .where((eb) => eb.or([eb('untilOn', 'is', null), eb('untilOn', '>=', fromOn)]))
    .where(standing('noTurnCustom'))
    .orderBy('fromOn')
    .execute()
  return rows.map(({ entryId, cause, ...row }) => ({ id: entryId, cause: cause as Custom['cause'], ...row }))
}

interface Days {
  days: readonly CalendarDate[]
  rhythm: WeekRhythm
}

function daysOf({ fromOn, untilOn, weekday, marketDay }: Custom, { days, rhythm }: Days): CalendarDate[] {
  const held = days.filter((on) => on >= fromOn && on <= (untilOn ?? on))
  return held.filter((on) => fallsOn(on, { weekday, marketDay }, rhythm))
}

export function isWholeDay({ fromHour, toHour }: Pick<Custom, 'fromHour' | 'toHour'>): boolean {
  return fromHour === 0 && toHour === 24
}

/** Whole days on which the group does not water. */
export async function customDays(db: Database, asked: Days): Promise<{ on: CalendarDate; words: string }[]> {
  const customs = await customsOn(db, asked.days[0]!, asked.days.at(-1)!)
  const ofAll = customs.filter((one) => one.personId === null && isWholeDay(one))
  return ofAll.flatMap((one) => daysOf(one, asked).map((on) => ({ on, words: one.words })))
}

/** Hours of the group for every plot, and what a household keeps free for the plots that one of it holds. */
export async function customHours(
  db: Database,
  asked: Days,
  plots: readonly Plot[],
): Promise<TurnFacts['noTurnHours']> {
  const customs = await customsOn(db, asked.days[0]!, asked.days.at(-1)!)
  const kept = customs.filter((one) => one.personId !== null || !isWholeDay(one))
  if (kept.length === 0) return []
  const facts = await householdFacts(db)
  return kept.flatMap((one) =>
    daysOf(one, asked).flatMap((on) =>
      plots
        .filter(keptFor(facts, one, on))
        .map(({ id: plotId }) => ({ plotId, on, fromHour: one.fromHour, toHour: one.toHour, words: one.words })),
    ),
  )
}

/** What is kept free on a day for one plot: by the whole group, or by a household that one of its holders is of. */
export async function customsOfPlot(
  db: Database,
  { on, rhythm }: { on: CalendarDate; rhythm: WeekRhythm },
  plot: Pick<Plot, 'holders'>,
): Promise<WrittenCustom[]> {
  const held = (await customsOn(db, on, on)).filter((one) => fallsOn(on, one, rhythm))
  if (held.length === 0) return []
  const facts = await householdFacts(db)
  return held.filter((one) => keptFor(facts, one, on)(plot))
}

function keptFor(facts: HouseholdFacts, { personId }: Custom, on: CalendarDate) {
  const household = personId === null ? null : householdOf(facts, [personId], on)
  return ({ holders }: Pick<Plot, 'holders'>) => household === null || holders.some(({ id }) => household.includes(id))
}
