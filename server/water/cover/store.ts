import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** What a group settles on for looking ahead at one weir. An empty figure is worked out from the book instead. */
export interface CoverTerm {
  weirId: string
  fromOn: string
  /** Part of the loss, 0..1, that reaches the weir below. */
  leakShare: number
  weeklyPlanM3: number | null
  /** Water that stays in the sand for each millimetre of a day's rain beyond the mark. */
  rechargeM3PerMm: number | null
  words: string | null
}

export async function setCoverTerm(pen: Pen, term: CoverTerm): Promise<string> {
  const row = {
    weir_id: term.weirId,
    from_on: term.fromOn,
    leak_share: term.leakShare,
    weekly_plan_m3: term.weeklyPlanM3,
    recharge_m3_per_mm: term.rechargeM3PerMm,
    words: term.words,
  }
  return appendEntry(pen, { kind: 'cover-term' }, { cover_term: [row] })
}

/** The terms in force on a day, by weir; a weir for which nobody settled any is not there. */
export async function coverTermsOn(db: Database, on: string): Promise<Map<string, CoverTerm>> {
  const rows = await db
    .selectFrom('cover_term')
    .innerJoin('entry', 'entry.id', 'cover_term.entry_id')
    .selectAll('cover_term')
    .select('entry.seq')
    .where(standing('cover_term'))
    .execute()
  const found = new Map<string, CoverTerm>()
  for (const weirId of new Set(rows.map((row) => row.weir_id))) {
    const own = rows.filter((row) => row.weir_id === weirId)
    const row = inForce(own, on)
    if (row)
      found.set(weirId, {
        weirId,
        fromOn: row.from_on,
        leakShare: row.leak_share,
        weeklyPlanM3: row.weekly_plan_m3,
        rechargeM3PerMm: row.recharge_m3_per_mm,
        words: row.words,
      })
  }
  return found
}

/** First days of the published weeks, newest first. */
export async function publishedWeekStarts(db: Database): Promise<string[]> {
  const rows = await db.selectFrom('published_week').select('week_start_on').orderBy('week_start_on', 'desc').execute()
  return rows.map((row) => row.week_start_on)
}

export interface DrawnDay {
  weirId: string
  onDate: string
  use: string
  volumeM3: number
}

/** What the log says was drawn, from a day on up to another, both included. */
export async function drawnBetween(db: Database, fromOn: string, toOn: string): Promise<DrawnDay[]> {
  return db
    .selectFrom('abstraction')
    .select(['weir_id as weirId', 'on_date as onDate', 'use', 'volume_m3 as volumeM3'])
    .where('on_date', '>=', fromOn)
    .where('on_date', '<=', toOn)
    .where(standing('abstraction'))
    .execute()
}

/** Volumes of the turns planned for a published week, by the weir from which each pump drew on that day. */
export async function plannedByWeir(db: Database, weekStartOn: string): Promise<Map<string, number>> {
  const rows = await db
    .selectFrom('turn')
    .innerJoin('published_week', 'published_week.entry_id', 'turn.entry_id')
    .select(['turn.pump_id', 'turn.volume_m3'])
    .where('published_week.week_start_on', '=', weekStartOn)
    .execute()
  const weirs = await weirsOfPumps(db, weekStartOn)
  const found = new Map<string, number>()
  for (const row of rows) {
    const weirId = weirs.get(row.pump_id)
    if (weirId) found.set(weirId, (found.get(weirId) ?? 0) + row.volume_m3)
  }
  return found
}

async function weirsOfPumps(db: Database, on: string): Promise<Map<string, string>> {
  const rows = await db
    .selectFrom('pump_detail')
    .innerJoin('entry', 'entry.id', 'pump_detail.entry_id')
    .select(['pump_detail.pump_id', 'pump_detail.weir_id', 'pump_detail.from_on', 'entry.seq'])
    .where(standing('pump_detail'))
    .execute()
  return new Map(
    [...new Set(rows.map((row) => row.pump_id))].flatMap((pumpId) => {
      const own = rows.filter((row) => row.pump_id === pumpId)
      const row = inForce(own, on)
      return row ? [[pumpId, row.weir_id] as const] : []
    }),
  )
}
