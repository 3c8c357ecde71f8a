import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** Hours at which a person takes no turn, with the words of the person. */
interface NoTurnHours {
  personId: string
  fromOn: string
  /** The last day; null until it is struck out. */
  untilOn: string | null
  /** 1 is Monday; null means every day. */
  weekday: number | null
  fromHour: number
  toHour: number
  words: string
}

interface WrittenHours extends NoTurnHours {
  id: string
  personName: string
}

export async function addNoTurnHours(pen: Pen, hours: NoTurnHours): Promise<string> {
  return appendEntry(pen, { kind: 'no-turn-hours', forPersonId: hours.personId }, { no_turn_hours: [rowOf(hours)] })
}

/** Takes hours out of the book; they stay readable with the reason. */
export async function strikeNoTurnHours(pen: Pen, id: string, reason: string): Promise<string> {
  return appendEntry(pen, { kind: 'no-turn-hours', correctsId: id, reason }, {})
}

/** Hours that hold on some day from one day to another. */
export async function noTurnHoursOn(db: Database, fromOn: string, toOn: string): Promise<WrittenHours[]> {
  const rows = await db
    .selectFrom('no_turn_hours')
    .innerJoin('person', 'person.entry_id', 'no_turn_hours.person_id')
    .selectAll('no_turn_hours')
    .select('person.name')
    .where('from_on', '<=', toOn)
    .where((eb) => eb.or([eb('until_on', 'is', null), eb('until_on', '>=', fromOn)]))
    .where(standing('no_turn_hours'))
    .orderBy('person.number')
    .orderBy('from_hour')
    .execute()
  return rows.map((row) => ({
    id: row.entry_id,
    personId: row.person_id,
    personName: row.name,
    fromOn: row.from_on,
    untilOn: row.until_on,
    weekday: row.weekday,
    fromHour: row.from_hour,
    toHour: row.to_hour,
    words: row.words,
  }))
}

function rowOf({ personId, fromOn, untilOn, weekday, fromHour, toHour, words }: NoTurnHours) {
  return {
    person_id: personId,
    from_on: fromOn,
    until_on: untilOn,
    weekday,
    from_hour: fromHour,
    to_hour: toHour,
    words,
  }
}
