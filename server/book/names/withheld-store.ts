import type { Instant } from '../../../domain/calendar.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { Database } from '../../database/connection.ts'
import { appendEntry, type Pen } from '../entries.ts'
import { kept } from '../kept-answers.ts'
import { readTogether } from '../register/together.ts'
import { asWritten, standing } from '../standing.ts'
import { namesNeeded } from './acts.ts'

/** What ended a matter that waited for a name: somebody declined it, or its writer withdrew it. */
export interface Withheld {
  reason: string
  byName: string
  at: Instant
  byWriter: boolean
}

/**
 * Declines what waits for a name or, by whoever wrote it, withdraws it; it stays in the book with the reason. Throws
 * InputError `withheld-too-late` when it has its names, `withheld-before` when it was declined or withdrawn already.
 */
export async function withhold(pen: Pen, subjectId: string, reason: string): Promise<string> {
  const { kind, names } = await pen.trx
    .selectFrom('entry')
    .select([
      'kind',
      ({ selectFrom, fn }) =>
        selectFrom('approval')
          .select(fn.countAll<number>().as('names'))
          .whereRef('subjectId', '=', 'entry.id')
          .where(standing('approval'))
          .as('names'),
    ])
    .where('id', '=', subjectId)
    .executeTakeFirstOrThrow()
  if (Number(names) >= (await namesNeeded(pen.trx, kind, subjectId))) throw new InputError('withheld-too-late')
  if (await withheldOf(pen.trx, subjectId)) throw new InputError('withheld-before')
  return appendEntry(pen, { kind: 'withheld', reason }, { withheld: [{ subjectId }] })
}

const withheldRows = readTogether('names', (db) => rows(db))

/** What was declined or withdrawn, by its entry. */
export function listWithheld(db: Database): Promise<ReadonlyMap<string, Withheld>> {
  return kept(
    db,
    'withheld',
    null,
    async () => new Map((await withheldRows(db)).map((row) => [row.subjectId, shownOf(row)])),
  )
}

export async function withheldOf(db: Database, subjectId: string): Promise<Withheld | null> {
  const row = await rows(db).where('subjectId', '=', subjectId).executeTakeFirst()
  return row ? shownOf(row) : null
}

function rows(db: Database) {
  return db
    .selectFrom('withheld')
    .innerJoin('entry', 'entry.id', 'withheld.entryId')
    .innerJoin('entry as subject', 'subject.id', 'withheld.subjectId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['subjectId', 'entry.reason', 'entry.writtenAt', 'entry.writtenBy'])
    .select(['person.name', 'subject.writtenBy as subjectBy'])
    .where(standing('withheld'))
    .orderBy(asWritten, 'desc')
}

type Row = Awaited<ReturnType<ReturnType<typeof rows>['execute']>>[number]

function shownOf({ reason, name, writtenAt, writtenBy, subjectBy }: Row): Withheld {
  return { reason: reason ?? '', byName: name, at: writtenAt, byWriter: writtenBy === subjectBy }
}
