import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { DIGITS, type Digits } from '../../../domain/people/language.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { isFixed } from '../../book/names/reworded-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface OwnLanguage {
  language: string
  digits: Digits | null
}

interface GroupLanguage extends OwnLanguage {
  fromOn: CalendarDate
}

interface Languages {
  /** In which language the book speaks for the group, by the day from which it holds. */
  group: readonly (GroupLanguage & { seq: number })[]
  /** In which language the book speaks to each person who chose one; the choice written last counts. */
  persons: ReadonlyMap<string, OwnLanguage>
  /** The group's own sentences by language and key, as they stand. */
  words: ReadonlyMap<string, ReadonlyMap<string, string>>
}

const languageRows = readTogether('group', (db) =>
  db
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
    .unionAll((eb) =>
      eb
        .selectFrom('groupLanguage')
        .innerJoin('entry', 'entry.id', 'groupLanguage.entryId')
        .select(['fromOn as whose', 'language', 'digits as said', 'seq', sql<string>`'group'`.as('about')])
        .where(standing('groupLanguage'))
        .$castTo<never>(),
    ),
)

/** What the book holds of languages, read in one question, since every page asks it. */
export function languagesOf(db: Database): Promise<Languages> {
  return kept(db, 'languages', null, async () => {
    const rows = await languageRows(db)
    rows.sort((one, other) => one.seq - other.seq)
    const persons = new Map<string, OwnLanguage>()
    const words = new Map<string, Map<string, string>>()
    const group: (GroupLanguage & { seq: number })[] = []
    for (const { whose, language, said, about, seq } of rows) {
      const choice = { language, digits: DIGITS.find((one) => one === said) ?? null }
      if (about === 'person') persons.set(whose, choice)
      else if (about === 'group') group.push({ ...choice, fromOn: String(whose), seq })
      else putWords(words, { language, key: whose, said })
    }
    return { group, persons, words }
  })
}

function putWords(
  words: Map<string, Map<string, string>>,
  { language, key, said }: { language: string; key: string; said: string | null },
): void {
  if (isFixed(key)) return
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

/** The language that the group has chosen, in force on a day; undefined where it chose none. */
export async function groupLanguageOn(db: Database, on: CalendarDate): Promise<OwnLanguage | undefined> {
  return inForce((await languagesOf(db)).group, on)
}

/** Writes in which language the book speaks for the group from a day on. */
export function chooseGroupLanguage(pen: Pen, { fromOn, language, digits }: GroupLanguage): Promise<string> {
  return appendEntry(pen, { kind: 'group-language' }, { groupLanguage: [{ fromOn, language, digits }] })
}

/** Writes the group's own words for a sentence; null takes them back, and the catalogue's hold again. */
export function sayInOwnWords(
  pen: Pen,
  { language, key: messageKey, words }: { language: string; key: string; words: string | null },
): Promise<string> {
  return appendEntry(pen, { kind: 'own-words' }, { ownWords: [{ language, messageKey, words }] })
}
