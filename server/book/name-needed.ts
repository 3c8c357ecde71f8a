import { type RawBuilder, sql } from 'kysely'
import type { Database } from '../database/connection.ts'
import type { FactTables } from '../database/schema.ts'
import { rulesHere } from './after-joining.ts'
import { kept } from './kept-answers.ts'

/** What holds only with a second name where its entry says so; older entries of these tables were written by one name. */
const HELD_BACK: readonly (keyof FactTables)[] = [
  'groupSetting',
  'clockTold',
  'droughtDeclaration',
  'droughtLift',
  'streamShare',
  'turnChange',
  'turn',
  'swapConsent',
  'turnOutcome',
  'turnExcuse',
  'sharedDevice',
  'livesTogether',
  'decision',
  'warning',
  'conductRule',
  'handover',
  'personRole',
  'credential',
  'personLeft',
]

/** Marks an entry that holds only with a second name. */
export const NAME_NEEDED = { nameNeeded: [{}] }

/** One name is enough, except where a meeting named members to stand in: then each of them is needed. */
function tooFewNames(table: string): RawBuilder<boolean> {
  const own = sql.ref(`${table}.entry_id`)
  return sql<boolean>`(
    select count(*) from approval where approval.subject_id = ${own} and ${rulesHere('approval')}
  ) < max(1, (select count(*) from meeting_named where meeting_named.entry_id = ${own}))`
}

/** A row that waits for its second name: neither named, nor declined, nor withdrawn. Use as `.where(waitsForName('turnChange'))`. */
export function waitsForName(table: keyof FactTables): RawBuilder<boolean> {
  const own = sql.ref(`${table}.entry_id`)
  return sql<boolean>`${own} in (select entry_id from name_needed)
    and ${tooFewNames(table)}
    and not exists (select 1 from withheld where withheld.subject_id = ${own})`
}

/** Whether a row counts, as far as that hangs on a second name. True of every row that needs none. */
export function standsOnceNamed(table: keyof FactTables): RawBuilder<boolean> {
  if (!HELD_BACK.includes(table)) return sql<boolean>`true`
  return sql<boolean>`not exists (
    select 1 from name_needed where name_needed.entry_id = ${sql.ref(`${table}.entry_id`)}
    and ${tooFewNames('name_needed')})`
}

/** All that waits for its second name and was not written anew, in the order of writing. */
export function waitingForNames(db: Database): Promise<readonly { id: string; kind: string; writerName: string }[]> {
  return kept(db, 'waiting for names', null, () =>
    db
      .selectFrom('nameNeeded')
      .innerJoin('entry', 'entry.id', 'nameNeeded.entryId')
      .innerJoin('person', 'person.entryId', 'entry.writtenBy')
      .select(['entry.id', 'entry.kind', 'person.name as writerName'])
      .where(waitsForName('nameNeeded'))
      .where(({ not, exists, selectFrom }) =>
        not(exists(selectFrom('entry as later').select('later.id').whereRef('later.correctsId', '=', 'entry.id'))),
      )
      .orderBy(sql`+entry.seq`) // As `asWritten` says, which knows this file.
      .execute(),
  )
}

/** Whether anything of a kind waits for its second name: most often nothing does, and its own table is not asked. */
export async function anyWaits(db: Database, kind: string): Promise<boolean> {
  return (await waitingForNames(db)).some((one) => one.kind === kind)
}
