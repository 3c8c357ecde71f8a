import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import { isPicture, type Mark, markKey } from '../../../domain/people/mark/pictures.ts'
import type { MarkAsked } from '../../../domain/people/mark/types.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { type MarkFact, marksTaken } from './taken.ts'

const markRows = readTogether('group', (db) =>
  db
    .selectFrom('personMark')
    .innerJoin('entry', 'entry.id', 'personMark.entryId')
    .innerJoin('person', 'person.entryId', 'personMark.personId')
    .select(['personMark.entryId', 'personId', 'fromOn', 'picture', 'frame', 'seq', 'person.name'])
    .where(standing('personMark'))
    .orderBy(asWritten),
)

/** All choices of marks that stand, first to last; a mark of null gives the one before up. */
export async function markFacts(db: Database): Promise<MarkFact[]> {
  const rows = await markRows(db)
  return rows.map(({ picture, frame, ...row }) => ({
    ...row,
    mark: picture !== null && frame !== null && isPicture(picture) ? { picture, frame } : null,
  }))
}

interface Chosen {
  personId: Id<'person'>
  mark: Mark | null
  fromOn: CalendarDate
  asked: MarkAsked | null
  /** The reason that stands in the book where a choice of the same day is put right. */
  putRight: string
  season: { seasonStartOn: CalendarDate; seasonEndOn: CalendarDate }
}

/**
 * Writes which mark a person goes by from a day on. Whoever chooses twice on one day puts the first choice right, so that it
 * does not rest. Throws InputError `mark-taken`, `mark-rests`, `mark-struck`.
 */
export async function chooseMark(
  pen: Pen,
  { personId, mark, fromOn, asked, putRight, season }: Chosen,
): Promise<string> {
  const facts = await markFacts(pen.trx)
  if (mark) await refuseUnlessFree(pen.trx, facts, { personId, mark, on: fromOn, season })
  const last = facts.findLast((fact) => fact.personId === personId)
  const corrects = last?.fromOn === fromOn ? { correctsId: last.entryId, reason: putRight } : {}
  return appendEntry(
    pen,
    {
      kind: 'mark',
      forPersonId: personId,
      ...corrects,
    },
    {
      personMark: [{ personId, fromOn, picture: mark?.picture ?? null, frame: mark?.frame ?? null, asked }],
    },
  )
}

interface Wanted {
  personId: Id<'person'>
  mark: Mark
  on: CalendarDate
  season: Chosen['season']
}

async function refuseUnlessFree(db: Database, facts: readonly MarkFact[], wanted: Wanted): Promise<void> {
  const { personId, mark, on, season } = wanted
  if ((await struckPictures(db)).has(mark.picture)) throw new InputError('mark-struck')
  const holder = marksTaken(facts, { on, season, exceptPersonId: personId }).get(markKey(mark))
  if (holder) throw new InputError(holder.restsUntilOn ? 'mark-rests' : 'mark-taken', { name: holder.name })
}

/** The pictures that the group struck out: nobody may choose them anew. */
export async function struckPictures(db: Database): Promise<Set<string>> {
  const rows = await db
    .selectFrom('pictureRuling')
    .innerJoin('entry', 'entry.id', 'pictureRuling.entryId')
    .select(['picture', 'isStruck'])
    .where(standing('pictureRuling'))
    .orderBy(asWritten)
    .execute()
  const last = new Map(rows.map(({ picture, isStruck }) => [picture, isStruck]))
  return new Set([...last].filter(([, isStruck]) => isStruck === 1).map(([picture]) => picture))
}

/** Writes which pictures are struck out from now on: one entry with those that changed; null where none did. */
export async function strikePictures(pen: Pen, struck: readonly string[]): Promise<string | null> {
  const before = await struckPictures(pen.trx)
  const changed = [
    ...struck.filter((picture) => !before.has(picture)).map((picture) => ({ picture, isStruck: 1 })),
    ...[...before].filter((picture) => !struck.includes(picture)).map((picture) => ({ picture, isStruck: 0 })),
  ]
  if (changed.length === 0) return null
  return appendEntry(pen, { kind: 'pictures-struck' }, { pictureRuling: changed })
}
