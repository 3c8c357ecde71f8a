import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { DayInWeek } from '../../../domain/weeks.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** Hours at which a person takes no turn, with the words of the person. */
interface NoTurnHours extends DayInWeek {
  personId: Id<'person'>
  fromOn: CalendarDate
  /** The last day; null until it is struck out. */
  untilOn: CalendarDate | null
  fromHour: number
  toHour: number
  words: string
}

interface WrittenHours extends NoTurnHours {
  id: string
  personName: string
}

export async function addNoTurnHours(
  pen: Pen,
  hours: NoTurnHours,
  asked: Pick<Facts, 'askedThrough'> = {},
): Promise<string> {
  const head = { kind: 'no-turn-hours', forPersonId: hours.personId }
  return appendEntry(pen, head, { noTurnHours: [rowOf(hours)], ...asked })
}

/** Takes hours out of the book; they stay readable with the reason. */
export async function strikeNoTurnHours(pen: Pen, id: string, reason: string): Promise<string> {
  return appendEntry(pen, { kind: 'no-turn-hours', correctsId: id, reason }, {})
}

/** Hours that hold on some day from one day to another. */
export async function noTurnHoursOn(db: Database, fromOn: CalendarDate, toOn: CalendarDate): Promise<WrittenHours[]> {
  const rows = await db
    .selectFrom('noTurnHours')
    .innerJoin('person', 'person.entryId', 'noTurnHours.personId')
    .selectAll('noTurnHours')
    .select('person.name')
    .where('fromOn', '<=', toOn)
    .where((eb) => eb.or([eb('untilOn', 'is', null), eb('untilOn', '>=', fromOn)]))
    .where(standing('noTurnHours'))
    .orderBy('person.number')
    .orderBy('fromHour')
    .execute()
  return rows.map((row) => ({
    id: row.entryId,
    personId: row.personId,
    personName: row.name,
    fromOn: row.fromOn,
    untilOn: row.untilOn,
    weekday: row.weekday,
    marketDay: row.marketDay,
    fromHour: row.fromHour,
    toHour: row.toHour,
    words: row.words,
  }))
}

function rowOf({ personId, fromOn, untilOn, weekday, marketDay, fromHour, toHour, words }: NoTurnHours) {
  return {
    personId,
    fromOn,
    untilOn,
    weekday,
    marketDay,
    fromHour,
    toHour,
    words,
  }
}
