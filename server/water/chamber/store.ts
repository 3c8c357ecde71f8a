import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { waterStates } from '../storage/state.ts'
import { chamberNow } from './limit.ts'
import type { Chamber, RefillTest } from './types.ts'

export async function addChamber(pen: Pen, chamber: Omit<Chamber, 'id'>): Promise<string> {
  const row = {
    weirId: chamber.weirId,
    fromOn: chamber.fromOn,
    areaM2: chamber.areaM2,
    depthM: chamber.depthM,
    rimAboveCrestM: chamber.rimAboveCrestM,
    stopBelowRimCm: chamber.stopBelowRimCm,
  }
  return appendEntry(pen, { kind: 'chamber' }, { chamber: [row] })
}

/** The chamber as it was described for a day; null while nobody described it. */
export async function chamberOn(db: Database, weirId: Id<'weir'>, on: string): Promise<Chamber | null> {
  const rows = await db
    .selectFrom('chamber')
    .innerJoin('entry', 'entry.id', 'chamber.entryId')
    .selectAll('chamber')
    .select('entry.seq')
    .where(standing('chamber'))
    .where('weirId', '=', weirId)
    .execute()
  const row = inForce(rows, on)
  if (!row) return null
  return {
    id: row.entryId,
    weirId,
    fromOn: row.fromOn,
    areaM2: row.areaM2,
    depthM: row.depthM,
    rimAboveCrestM: row.rimAboveCrestM,
    stopBelowRimCm: row.stopBelowRimCm,
  }
}

/** Weirs whose chamber is described for a day. */
export async function weirsWithChamber(db: Database, on: string): Promise<ReadonlySet<string>> {
  const rows = await db
    .selectFrom('chamber')
    .select('weirId')
    .where(standing('chamber'))
    .where('fromOn', '<=', on)
    .execute()
  return new Set(rows.map(({ weirId }) => weirId))
}

export async function addRefillTest(pen: Pen, test: Omit<RefillTest, 'id'>): Promise<string> {
  const row = {
    weirId: test.weirId,
    testedOn: test.testedOn,
    areaM2: test.areaM2,
    restBelowRimCm: test.restBelowRimCm,
    remark: test.remark,
  }
  const readings = test.readings.map(({ minutes, belowRimCm }) => ({ minutes, belowRimCm }))
  return appendEntry(pen, { kind: 'refill-test' }, { refillTest: [row], refillReading: readings })
}

/** The tests of a weir's chamber up to a day, oldest first. */
export async function listRefillTests(db: Database, weirId: Id<'weir'>, on: string): Promise<RefillTest[]> {
  const rows = await db
    .selectFrom('refillTest')
    .innerJoin('entry', 'entry.id', 'refillTest.entryId')
    .selectAll('refillTest')
    .where(standing('refillTest'))
    .where('weirId', '=', weirId)
    .where('testedOn', '<=', on)
    .orderBy('testedOn')
    .orderBy(asWritten)
    .execute()
  if (rows.length === 0) return []
  const ids = rows.map((row) => row.entryId)
  const readings = await db
    .selectFrom('refillReading')
    .selectAll()
    .where('entryId', 'in', ids)
    .orderBy('minutes')
    .execute()
  return rows.map((row) => ({
    id: row.entryId,
    weirId,
    testedOn: row.testedOn,
    areaM2: row.areaM2,
    restBelowRimCm: row.restBelowRimCm,
    remark: row.remark,
    readings: readings
      .filter((reading) => reading.entryId === row.entryId)
      .map(({ minutes, belowRimCm }) => ({ minutes, belowRimCm })),
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
