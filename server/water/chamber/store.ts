import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
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

const chamberRows = readTogether('water', (db) =>
  db
    .selectFrom('chamber')
    .innerJoin('entry', 'entry.id', 'chamber.entryId')
    .selectAll('chamber')
    .select('entry.seq')
    .where(standing('chamber')),
)

/** The chamber as it was described for a day; null while nobody described it. */
export async function chamberOn(db: Database, weirId: Id<'weir'>, on: string): Promise<Chamber | null> {
  const rows = (await chamberRows(db)).filter((row) => row.weirId === weirId)
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
  const rows = (await chamberRows(db)).filter(({ fromOn }) => fromOn <= on)
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

const testRows = readTogether('water', (db) =>
  db
    .selectFrom('refillTest')
    .innerJoin('entry', 'entry.id', 'refillTest.entryId')
    .selectAll('refillTest')
    .where(standing('refillTest'))
    .orderBy('testedOn')
    .orderBy(asWritten),
)

const readingRows = readTogether('water', (db) => db.selectFrom('refillReading').selectAll().orderBy('minutes'))

/** The tests of a weir's chamber up to a day, oldest first. */
export async function listRefillTests(db: Database, weirId: Id<'weir'>, on: string): Promise<RefillTest[]> {
  const rows = (await testRows(db)).filter((row) => row.weirId === weirId && row.testedOn <= on)
  if (rows.length === 0) return []
  const readings = await readingRows(db)
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
