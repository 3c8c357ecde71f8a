import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { NAME_NEEDED, waitsForName } from '../../book/name-needed.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** What may be said of a turn beside its log. `here` takes an earlier word back. */
export const OUTCOME_CAUSES = ['excused', 'no-show', 'late', 'stand-in', 'breakdown', 'here'] as const
export type OutcomeCause = (typeof OUTCOME_CAUSES)[number]

/** When and through whom word came that a turn is not taken; `decidedFor` is why the committee excused it after its hour. */
export interface ExcuseWord {
  onDate: CalendarDate
  clock: string
  through: string
  decidedFor: string | null
}

export interface TurnOutcome {
  id: string
  turnId: Id<'turn'>
  cause: OutcomeCause
  standInName: string | null
  words: string | null
  /** Null where nothing was excused, and in lines from before the book asked. */
  word: ExcuseWord | null
  byName: string
  at: string
}

interface NewOutcome {
  turnId: Id<'turn'>
  cause: OutcomeCause
  standInId: Id<'person'> | null
  words: string | null
  word?: ExcuseWord
  forPersonId?: Id<'person'> | null
}

export async function addOutcome(pen: Pen, outcome: NewOutcome, more: Facts = {}): Promise<string> {
  const { turnId, cause, standInId, words, word, forPersonId } = outcome
  const row = { turnId, cause, standInId, words }
  const facts = { ...more, turnOutcome: [row], turnExcuse: word ? [word] : [] }
  // After its hour it is a decision of the committee, which no officer takes alone.
  const isLate = (word?.decidedFor ?? null) !== null
  const head = { kind: isLate ? 'late-excuse' : 'turn-outcome', forPersonId: forPersonId ?? null }
  return appendEntry(pen, head, isLate ? { ...facts, ...NAME_NEEDED } : facts)
}

/** Excuses after the hour that wait for a second name, of some turns. */
export async function waitingExcuses(db: Database, turnIds: readonly string[]): Promise<TurnOutcome[]> {
  if (turnIds.length === 0) return []
  const rows = await outcomeRows(db)
    .where('turnOutcome.turnId', 'in', turnIds as string[])
    .where(waitsForName('turnOutcome'))
    .execute()
  return rows.map(outcomeOf)
}

/** An excuse after the hour, whether it holds, waits or was declined. */
export async function findLateExcuse(db: Database, id: string): Promise<TurnOutcome | undefined> {
  const row = await outcomeRows(db)
    .where('entry.id', '=', id)
    .where('entry.kind', '=', 'late-excuse')
    .executeTakeFirst()
  return row && outcomeOf(row)
}

/** Everything said of some turns, first to last. */
export async function outcomesOf(db: Database, turnIds: readonly string[]): Promise<readonly TurnOutcome[]> {
  if (turnIds.length === 0) return []
  return kept(db, 'outcomes', turnIds, async () => {
    const rows = await standingOutcomes(db, turnIds).execute()
    return rows.map(outcomeOf)
  })
}

export function standingOutcomes(db: Database, turnIds: readonly string[]) {
  return outcomeRows(db)
    .where('turnOutcome.turnId', 'in', turnIds as string[])
    .where(standing('turnOutcome'))
}

/**
 * A decision of the committee is said at the moment of its second name, so that nothing written while it waited undoes it; every
 * other word at the moment of its writing, whoever puts a name under it later.
 */
const saidAt = sql<number>`case when entry.kind = 'late-excuse' then coalesce((
  select max(named.seq) from approval join entry as named on named.id = approval.entry_id
  where approval.subject_id = turn_outcome.entry_id), entry.seq) else entry.seq end`

function outcomeRows(db: Database) {
  return db
    .selectFrom('turnOutcome')
    .innerJoin('entry', 'entry.id', 'turnOutcome.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .leftJoin('person as helper', 'helper.entryId', 'turnOutcome.standInId')
    .leftJoin('turnExcuse', 'turnExcuse.entryId', 'turnOutcome.entryId')
    .select(['turnExcuse.onDate', 'turnExcuse.clock', 'turnExcuse.through', 'turnExcuse.decidedFor'])
    .select(['entry.id', 'turnId', 'cause', 'words', 'helper.name as standInName'])
    .select(['writer.name as byName', 'entry.writtenAt as at'])
    .orderBy(saidAt)
}

type Row = Awaited<ReturnType<ReturnType<typeof outcomeRows>['execute']>>[number]

function outcomeOf(row: Row): TurnOutcome {
  const { onDate, clock, through, decidedFor, ...said } = row
  const word = onDate && clock && through ? { onDate, clock, through, decidedFor } : null
  return { ...said, cause: row.cause as OutcomeCause, word }
}

/** What holds now: why the turn was missed, whether its taker came late, and who stands in. */
export interface Said {
  missed: TurnOutcome | null
  late: TurnOutcome | null
  standIn: TurnOutcome | null
}

/** The committee decided it with two names: a tap undoes it no more. */
export function isDecided({ missed }: Said): boolean {
  return missed !== null && (missed.word?.decidedFor ?? null) !== null
}

/** The last word on whether a turn was missed counts; a stand-in or a late start says nothing against it. */
export function saidOf(outcomes: readonly TurnOutcome[], turnId: Id<'turn'>): Said {
  const said: Said = { missed: null, late: null, standIn: null }
  for (const outcome of outcomes) {
    if (outcome.turnId !== turnId) continue
    if (outcome.cause === 'stand-in') said.standIn = outcome
    else if (outcome.cause === 'here') Object.assign(said, { missed: null, late: null, standIn: null })
    else if (outcome.cause === 'late') Object.assign(said, { missed: null, late: outcome })
    else said.missed = outcome
  }
  return said
}
