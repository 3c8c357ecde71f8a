import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
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

/** What was found about odd entries, the latest first. */
export const settledFlags = readTogether('odd', (db) =>
  db
    .selectFrom('flagSettled')
    .innerJoin('entry', 'entry.id', 'flagSettled.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['flagSettled.subjectId', 'flagSettled.code', 'flagSettled.words'])
    .select(['entry.writtenAt', 'writer.name as writerName'])
    .where(standing('flagSettled'))
    .orderBy(asWritten, 'desc'),
)

interface OddAsked {
  seasonStartOn: CalendarDate
  seasonEndOn: CalendarDate
  timeZone: string
}

interface OddOfSeason {
  /** What nobody has settled, the latest draw first. */
  open: { draw: Abstraction; flag: LogFlag }[]
  /** What somebody found, with the matter as it still is; null where a later entry took it away. */
  settled: { found: Settled; draw: Abstraction; flag: LogFlag | null }[]
}

/** What is odd in a season's log, and what somebody found about it. */
export function oddOfSeason(
  db: Database,
  { group, timeZone }: { group: Omit<OddAsked, 'timeZone'>; timeZone: string },
): Promise<OddOfSeason> {
  const asked = { seasonStartOn: group.seasonStartOn, seasonEndOn: group.seasonEndOn, timeZone }
  return kept(db, 'odd of the season', asked, () => readOddOfSeason(db, asked))
}

async function readOddOfSeason(db: Database, asked: OddAsked): Promise<OddOfSeason> {
  const draws = await drawsToJudge(db, asked)
  const settled = await settledFlags(db)
  const flags = await flagsOfDraws(db, { draws, timeZone: asked.timeZone })
  const open = withoutSettled(flags, settled)
  const known = new Map<string, Abstraction>(draws.map((draw) => [draw.id, draw]))
  return {
    open: draws.toReversed().flatMap((draw) => (open.get(draw.id) ?? []).map((flag) => ({ draw, flag }))),
    settled: settled.flatMap((found) => {
      const draw = known.get(found.subjectId)
      return draw ? [{ found, draw, flag: flags.get(draw.id)?.find(({ code }) => code === found.code) ?? null }] : []
    }),
  }
}

/** The season's draws, and those that a wrong day or clock has put outside it, where no balance would miss them. */
async function drawsToJudge(db: Database, { seasonStartOn, seasonEndOn }: OddAsked): Promise<Abstraction[]> {
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
  const settled = await settledFlags(db)
  return withoutSettled(await flagsOfDraws(db, { draws, timeZone }), settled)
}

function withoutSettled(flags: ReadonlyMap<string, LogFlag[]>, settled: readonly Settled[]): Map<string, LogFlag[]> {
  const done = new Set(settled.map(({ subjectId, code }) => `${subjectId} ${code}`))
  return new Map([...flags].map(([id, list]) => [id, list.filter(({ code }) => !done.has(`${id} ${code}`))]))
}

/** The first of what is odd about each draw of a day, by the draw. */
export async function oddOn(
  db: Database,
  { on, timeZone }: { on: CalendarDate; timeZone: string },
): Promise<Map<string, string>> {
  const flags = await openFlags(db, { draws: await listAbstractions(db, { fromOn: on, toOn: on }), timeZone })
  return new Map([...flags].flatMap(([id, [first]]) => (first ? [[id, first.code] as const] : [])))
}
