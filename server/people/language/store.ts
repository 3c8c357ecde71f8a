import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { DIGITS, type Digits } from '../../../domain/people/language.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface OwnLanguage {
  language: string
  digits: Digits | null
}

interface Languages {
  /** In which language the book speaks to each person who chose one; the choice written last counts. */
  persons: ReadonlyMap<string, OwnLanguage>
  /** The group's own sentences by language and key, as they stand. */
  words: ReadonlyMap<string, ReadonlyMap<string, string>>
}

/** What the book holds of languages, read in one question, since every page asks it. */
export function languagesOf(db: Database): Promise<Languages> {
  return kept(db, 'languages', null, async () => {
    const rows = await db
      .selectFrom('personLanguage')
      .innerJoin('entry', 'entry.id', 'personLanguage.entryId')
      .select(['personId as whose', 'language', 'digits as said', 'seq', sql<string>`'person'`.as('about')])
      .where(standing('personLanguage'))
      .unionAll((eb) =>
        eb
          .selectFrom('ownWords')
          .innerJoin('entry', 'entry.id', 'ownWords.entryId')
          .select(['messageKey as whose', 'language', 'words as said', 'seq', sql<string>`'words'`.as('about')])
          .where(standing('ownWords'))
          .$castTo<never>(),
      )
      .execute()
    rows.sort((one, other) => one.seq - other.seq)
    const persons = new Map<string, OwnLanguage>()
    const words = new Map<string, Map<string, string>>()
    for (const { whose, language, said, about } of rows) {
      if (about === 'person') persons.set(whose, { language, digits: DIGITS.find((one) => one === said) ?? null })
      else putWords(words, { language, key: whose, said })
    }
    return { persons, words }
  })
}

function putWords(
  words: Map<string, Map<string, string>>,
  { language, key, said }: { language: string; key: string; said: string | null },
): void {
  const own = words.get(language) ?? new Map<string, string>()
  if (said === null) own.delete(key)
  else own.set(key, said)
  words.set(language, own)
}

/** Writes in which language the book speaks to a person from a day on. */
export function chooseLanguage(
  pen: Pen,
  { personId, ...choice }: OwnLanguage & { personId: Id<'person'>; fromOn: CalendarDate },
): Promise<string> {
  return appendEntry(pen, { kind: 'language', forPersonId: personId }, { personLanguage: [{ personId, ...choice }] })
}

/** Writes the group's own words for a sentence; null takes them back, and the catalogue's hold again. */
export function sayInOwnWords(
  pen: Pen,
  { language, key: messageKey, words }: { language: string; key: string; words: string | null },
): Promise<string> {
  return appendEntry(pen, { kind: 'own-words' }, { ownWords: [{ language, messageKey, words }] })
}
