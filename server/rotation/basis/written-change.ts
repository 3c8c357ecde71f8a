import { type RawBuilder, sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'

/** What was written and changes parts although the week that was published does not hold it line by line. */
export interface WrittenChange {
  /** Null for what holds for all. */
  plotId: Id<'plot'> | null
  what: Kind
  on: CalendarDate | null
  /** Land in m2, water in m3, rain in mm, days as a count. */
  was: number | null
  is: number | null
  href: string
  entryId: string
  /** Others of the same kind that were written since: each may hold for another outlet, weir or plot. */
  earlierIds?: string[]
  /** Which setting for all it is, by its words in the catalogue. */
  setting?: string
  /** The number of the weir at which it was read. */
  weir?: number
}

type Kind =
  | 'crop'
  | 'crop-struck'
  | 'crop-end'
  | 'class'
  | 'cover'
  | 'mulch'
  | 'state'
  | 'ground'
  | 'before'
  | 'asked'
  | 'asked-hours'
  | 'asked-end'
  | 'draw'
  | 'draw-struck'
  | 'draw-moved'
  | 'unmetered'
  | 'unmetered-of-weir'
  | 'broken'
  | 'excused'
  | 'rule'
  | 'choice'
  | 'own-crop'
  | 'setting'
  | 'hours'
  | 'ticked'
  | 'sky'
  | 'weather-anew'
  | 'gauge-anew'
  | 'rain'
  | 'gauge-rain'
  | 'level'

export interface Since {
  db: Database
  /** The place in the book of the week that was published last. */
  seq: number
  /** What stands before it and was not known where it was published, since the two books were joined later. */
  unknown: ReadonlySet<string>
  weekStartOn: CalendarDate
  today: CalendarDate
}

/** Of what a query reads with its entry, what was written since. */
export function isSince({ seq, unknown }: Pick<Since, 'seq' | 'unknown'>): RawBuilder<boolean> {
  if (unknown.size === 0) return sql<boolean>`entry.seq > ${seq}`
  const ids = sql`select value from json_each(${JSON.stringify([...unknown])})`
  return sql<boolean>`(entry.seq > ${seq} or entry.id in (${ids}))`
}

/** The same of rows that were read already. */
export function wasSince({ seq, unknown }: Pick<Since, 'seq' | 'unknown'>) {
  return (row: { seq: number } & ({ id: string } | { entryId: string })) =>
    row.seq > seq || unknown.has('id' in row ? row.id : row.entryId)
}

export function change(
  what: WrittenChange['what'],
  known: Pick<WrittenChange, 'plotId' | 'href' | 'entryId'> & Partial<WrittenChange>,
): WrittenChange {
  return { on: null, was: null, is: null, ...known, what }
}
