import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** What a group settles on for looking ahead at one weir. An empty figure is worked out from the book instead. */
interface CoverTerm {
  weirId: Id<'weir'>
  fromOn: CalendarDate
  /** Part of the loss, 0..1, that reaches the weir below. */
  leakShare: number
  weeklyPlanM3: M3 | null
  /** Water that stays in the sand for each millimetre of a day's rain beyond the mark. */
  rechargeM3PerMm: number | null
  words: string | null
}

/** A term as it stands in the book. */
export interface StandingTerm extends CoverTerm {
  id: string
}

export async function setCoverTerm(pen: Pen, term: CoverTerm, typed: Pick<Facts, 'typedVolume'> = {}): Promise<string> {
  const row = {
    weirId: term.weirId,
    fromOn: term.fromOn,
    leakShare: term.leakShare,
    weeklyPlanM3: term.weeklyPlanM3,
    rechargeM3PerMm: term.rechargeM3PerMm,
    words: term.words,
  }
  return appendEntry(pen, { kind: 'cover-term' }, { coverTerm: [row], ...typed })
}

const termRows = readTogether('water', (db) =>
  db
    .selectFrom('coverTerm')
    .innerJoin('entry', 'entry.id', 'coverTerm.entryId')
    .selectAll('coverTerm')
    .select('entry.seq')
    .where(standing('coverTerm')),
)

/** The terms in force on a day, by weir; a weir for which nobody settled any is not there. */
export async function coverTermsOn(db: Database, on: string): Promise<Map<string, StandingTerm>> {
  const rows = await termRows(db)
  const found = new Map<string, StandingTerm>()
  for (const weirId of new Set(rows.map((row) => row.weirId))) {
    const own = rows.filter((row) => row.weirId === weirId)
    const row = inForce(own, on)
    if (row)
      found.set(weirId, {
        id: row.entryId,
        weirId,
        fromOn: row.fromOn,
        leakShare: row.leakShare,
        weeklyPlanM3: row.weeklyPlanM3,
        rechargeM3PerMm: row.rechargeM3PerMm,
        words: row.words,
      })
  }
  return found
}

const weekStarts = readTogether('turns', (db) =>
  db.selectFrom('publishedWeek').select('weekStartOn').where(standing('publishedWeek')).orderBy('weekStartOn', 'desc'),
)

/** First days of the published weeks, newest first. */
export async function publishedWeekStarts(db: Database): Promise<string[]> {
  const rows = await weekStarts(db)
  return rows.map((row) => row.weekStartOn)
}

/** Volumes of the turns planned for a published week, by the weir from which each pump drew on that day. */
export async function plannedByWeir(db: Database, weekStartOn: CalendarDate): Promise<Map<string, number>> {
  const rows = await db
    .selectFrom('turn')
    .innerJoin('publishedWeek', 'publishedWeek.entryId', 'turn.entryId')
    .select(['turn.pumpId', 'turn.volumeM3'])
    .where('publishedWeek.weekStartOn', '=', weekStartOn)
    .where(standing('publishedWeek'))
    .execute()
  const weirs = await weirsOfPumps(db, weekStartOn)
  const found = new Map<string, number>()
  for (const row of rows) {
    const weirId = weirs.get(row.pumpId)
    if (weirId) found.set(weirId, (found.get(weirId) ?? 0) + row.volumeM3)
  }
  return found
}

async function weirsOfPumps(db: Database, on: string): Promise<Map<string, string>> {
  const rows = await db
    .selectFrom('pumpDetail')
    .innerJoin('entry', 'entry.id', 'pumpDetail.entryId')
    .select(['pumpDetail.pumpId', 'pumpDetail.weirId', 'pumpDetail.fromOn', 'entry.seq'])
    .where(standing('pumpDetail'))
    .execute()
  return new Map(
    [...new Set(rows.map((row) => row.pumpId))].flatMap((pumpId) => {
      const own = rows.filter((row) => row.pumpId === pumpId)
      const row = inForce(own, on)
      return row ? [[pumpId, row.weirId] as const] : []
    }),
  )
}
