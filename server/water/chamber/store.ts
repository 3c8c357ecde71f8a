import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { waterStates } from '../storage/state.ts'
import { chamberNow } from './limit.ts'
import type { Chamber, RefillTest } from './types.ts'

export async function addChamber(pen: Pen, chamber: Omit<Chamber, 'id'>): Promise<string> {
  const row = {
    weir_id: chamber.weirId,
    from_on: chamber.fromOn,
    area_m2: chamber.areaM2,
    depth_m: chamber.depthM,
    rim_above_crest_m: chamber.rimAboveCrestM,
    stop_below_rim_cm: chamber.stopBelowRimCm,
  }
  return appendEntry(pen, { kind: 'chamber' }, { chamber: [row] })
}

/** The chamber as it was described for a day; null while nobody described it. */
export async function chamberOn(db: Database, weirId: string, on: string): Promise<Chamber | null> {
  const rows = await db
    .selectFrom('chamber')
    .innerJoin('entry', 'entry.id', 'chamber.entry_id')
    .selectAll('chamber')
    .select('entry.seq')
    .where(standing('chamber'))
    .where('weir_id', '=', weirId)
    .execute()
  const row = inForce(rows, on)
  if (!row) return null
  return {
    id: row.entry_id,
    weirId,
    fromOn: row.from_on,
    areaM2: row.area_m2,
    depthM: row.depth_m,
    rimAboveCrestM: row.rim_above_crest_m,
    stopBelowRimCm: row.stop_below_rim_cm,
  }
}

export async function addRefillTest(pen: Pen, test: Omit<RefillTest, 'id'>): Promise<string> {
  const row = {
    weir_id: test.weirId,
    tested_on: test.testedOn,
    area_m2: test.areaM2,
    rest_below_rim_cm: test.restBelowRimCm,
    remark: test.remark,
  }
  const readings = test.readings.map(({ minutes, belowRimCm }) => ({ minutes, below_rim_cm: belowRimCm }))
  return appendEntry(pen, { kind: 'refill-test' }, { refill_test: [row], refill_reading: readings })
}

/** The tests of a weir's chamber up to a day, oldest first. */
export async function listRefillTests(db: Database, weirId: string, on: string): Promise<RefillTest[]> {
  const rows = await db
    .selectFrom('refill_test')
    .innerJoin('entry', 'entry.id', 'refill_test.entry_id')
    .selectAll('refill_test')
    .where(standing('refill_test'))
    .where('weir_id', '=', weirId)
    .where('tested_on', '<=', on)
    .orderBy('tested_on')
    .orderBy('entry.seq')
    .execute()
  if (rows.length === 0) return []
  const ids = rows.map((row) => row.entry_id)
  const readings = await db
    .selectFrom('refill_reading')
    .selectAll()
    .where('entry_id', 'in', ids)
    .orderBy('minutes')
    .execute()
  return rows.map((row) => ({
    id: row.entry_id,
    weirId,
    testedOn: row.tested_on,
    areaM2: row.area_m2,
    restBelowRimCm: row.rest_below_rim_cm,
    remark: row.remark,
    readings: readings
      .filter((reading) => reading.entry_id === row.entry_id)
      .map(({ minutes, below_rim_cm: belowRimCm }) => ({ minutes, belowRimCm })),
  }))
}

/**
 * What each weir's chamber gives without end at the level of a day, for the plan of a week; a weir without a chamber, a
 * refill test that worked or a reading is not there, and nothing is known that would hold its pump back.
 */
export async function chamberLimits(db: Database, on: string): Promise<Map<string, { sustainedM3PerH: number }>> {
  const limits = new Map<string, { sustainedM3PerH: number }>()
  for (const state of await waterStates(db, { on })) {
    const chamber = await chamberOn(db, state.weir.id, on)
    const test = (await listRefillTests(db, state.weir.id, on)).at(-1) ?? null
    const { sustained } = chamberNow({ state, chamber, test })
    if (sustained) limits.set(state.weir.id, { sustainedM3PerH: sustained.likelyM3PerH })
  }
  return limits
}
