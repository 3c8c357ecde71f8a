import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Digits } from '../../../domain/people/language.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface OwnLanguage {
  language: string
  digits: Digits | null
}

/** In which language the book speaks to each person who chose one; the choice written last counts. */
export function ownLanguages(db: Database): Promise<ReadonlyMap<string, OwnLanguage>> {
  return kept(db, 'languages of persons', null, async () => {
    const rows = await db
      .selectFrom('personLanguage')
      .innerJoin('entry', 'entry.id', 'personLanguage.entryId')
      .select(['personId', 'language', 'digits'])
      .where(standing('personLanguage'))
      .orderBy(asWritten)
      .execute()
    return new Map(rows.map(({ personId, language, digits }) => [personId, { language, digits }]))
  })
}

/** Writes in which language the book speaks to a person from a day on. */
export function chooseLanguage(
  pen: Pen,
  { personId, ...choice }: OwnLanguage & { personId: Id<'person'>; fromOn: CalendarDate },
): Promise<string> {
  return appendEntry(pen, { kind: 'language', forPersonId: personId }, { personLanguage: [{ personId, ...choice }] })
}
