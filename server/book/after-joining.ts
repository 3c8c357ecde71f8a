import { type RawBuilder, sql } from 'kysely'
import type { FactTables } from '../database/schema.ts'

/** What gives or takes power here: passwords, offices, leaving, second names, and who is of a household with whom. */
export const RULING_TABLES: readonly (keyof FactTables)[] = [
  'credential',
  'personRole',
  'approval',
  'livesTogether',
  'personLeft',
]

/**
 * Whether a row counts, as far as that hangs on books having been joined: what another device brought and rules here once a
 * name here is under it, of two publications of one week the one in force. True of every other row.
 */
export function holdsAfterJoining(table: keyof FactTables): RawBuilder<boolean> {
  if (RULING_TABLES.includes(table)) return rulesHere(table)
  if (table === 'publishedWeek') return publicationInForce
  if (table === 'marketWeek') return cutsNoPublishedWeek
  return table === 'turn' ? sql<boolean>`turn.entry_id not in ${setAside}` : sql<boolean>`true`
}

/** A name that was itself brought does not count under a joining. */
export function rulesHere(table: keyof FactTables): RawBuilder<boolean> {
  return sql<boolean>`not exists (
    select 1 from brought_ruling where brought_ruling.brought_id = ${sql.ref(`${table}.entry_id`)}
    and not exists (
      select 1 from approval as here where here.subject_id = brought_ruling.entry_id
      and here.entry_id not in (select brought_id from brought_ruling)))`
}

/** A publication that the committee took back counts no more; the week is a draft until it is published anew. */
export const notTakenBack = (published: string) => sql<boolean>`
  not exists (select 1 from entry as taken_back where taken_back.corrects_id = ${sql.ref(`${published}.entry_id`)})`

/**
 * Of two publications of one week, which two devices made apart, the one that was chosen by two names counts, and until then
 * the one that was written first.
 */
const publicationInForce = sql<boolean>`published_week.entry_id = coalesce(
  (select week_chosen.published_id from week_chosen join entry as choice on choice.id = week_chosen.entry_id
    join published_week as chosen on chosen.entry_id = week_chosen.published_id and ${notTakenBack('chosen')}
    where week_chosen.week_start_on = published_week.week_start_on
    and exists (select 1 from approval where approval.subject_id = week_chosen.entry_id and ${rulesHere('approval')})
    order by choice.seq desc limit 1),
  (select rival.entry_id from published_week as rival join entry as first on first.id = rival.entry_id
    where rival.week_start_on = published_week.week_start_on and ${notTakenBack('rival')}
    order by first.written_at, first.id limit 1),
  '')`

/** Market weeks that one device let begin within a week that another published wait for a person: that week stays whole. */
const cutsNoPublishedWeek = sql<boolean>`not exists (
  select 1 from published_week where published_week.week_start_on < market_week.from_on
  and ${notTakenBack('published_week')}
  and published_week.week_start_on > date(market_week.from_on, '-8 days')
  and json_extract(published_week.inputs, '$.days[#-1]') >= market_week.from_on)`

/** Publications that were set aside, with their turns and what was changed of these. */
export const setAside = sql`(select published_week.entry_id from published_week where not (${publicationInForce}))`
