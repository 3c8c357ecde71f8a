import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { type Abstraction, listAbstractions } from '../draw/store.ts'
import { clockJumps } from './clock-jumps.ts'
import { flagsOfDraws } from './flags.ts'
import type { LogFlag } from './log-flag.ts'

interface Settled {
  subjectId: string
  code: string
  words: string
  writtenAt: Instant
  writerName: string
}

/** Writes down what somebody found who looked at an odd entry; the entry itself stays as it is. */
export async function settleFlag(pen: Pen, flag: { subjectId: string; code: string; words: string }): Promise<string> {
  const { subjectId, code, words } = flag
  return appendEntry(pen, { kind: 'flag-settled' }, { flagSettled: [{ subjectId, code, words }] })
}

export async function settledOf(db: Database, subjectId?: string): Promise<Settled[]> {
  let rows = db
    .selectFrom('flagSettled')
    .innerJoin('entry', 'entry.id', 'flagSettled.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['flagSettled.subjectId', 'flagSettled.code', 'flagSettled.words'])
    .select(['entry.writtenAt', 'writer.name as writerName'])
    .where(standing('flagSettled'))
  if (subjectId !== undefined) rows = rows.where('flagSettled.subjectId', '=', subjectId)
  return rows.orderBy(asWritten, 'desc').execute()
}

/** The season's draws, and those that a wrong day or clock has put outside it, where no balance would miss them. */
export async function drawsToJudge(
  db: Database,
  { seasonStartOn, seasonEndOn }: { seasonStartOn: CalendarDate; seasonEndOn: CalendarDate },
): Promise<Abstraction[]> {
  const jumps = await clockJumps(db)
  return (await listAbstractions(db, { fromOn: '0000-01-01', toOn: '9999-12-31' })).filter(
    ({ id, onDate, writtenAt }) =>
      onDate <= seasonEndOn && (onDate >= seasonStartOn || writtenAt >= seasonStartOn || jumps.has(id)),
  )
}

/** What is odd and was not settled yet, by draw. */
export async function openFlags(
  db: Database,
  { draws, timeZone }: { draws: readonly Abstraction[]; timeZone: string },
): Promise<Map<string, LogFlag[]>> {
  const settled = new Set((await settledOf(db)).map(({ subjectId, code }) => `${subjectId} ${code}`))
  const flags = await flagsOfDraws(db, { draws, timeZone })
  return new Map([...flags].map(([id, list]) => [id, list.filter(({ code }) => !settled.has(`${id} ${code}`))]))
}

/** The first of what is odd about each draw of a day, by the draw. */
export async function oddOn(
  db: Database,
  { on, timeZone }: { on: CalendarDate; timeZone: string },
): Promise<Map<string, string>> {
  const flags = await openFlags(db, { draws: await listAbstractions(db, { fromOn: on, toOn: on }), timeZone })
  return new Map([...flags].flatMap(([id, [first]]) => (first ? [[id, first.code] as const] : [])))
}
