import { group } from 'd3-array'
import type { Selectable } from 'kysely'
import { meterNightTest, type NightLoss, nightTest } from '../../../domain/abstractions/night-test.ts'
import type { M3 } from '../../../domain/units.ts'
import { askTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import { listPumps } from '../../works/pump/store.ts'
import { stepOf } from '../draw/measuring.ts'

interface NightTest {
  id: string
  /** Where its lines stand and can be corrected. */
  register: string
  by: 'tank' | 'meter'
  name: string
  onDate: string
  remark: string | null
  losses: NightLoss[]
  totalLostM3: M3
}

/** The night tests of tanks and pumps with what each line lost, newest first. */
export async function nightTests(db: Database): Promise<NightTest[]> {
  const [tanks, levels, meters, readings] = await askTogether(
    db,
    tankRows(db),
    db.selectFrom('nightReading').selectAll().orderBy('place'),
    meterRows(db),
    db.selectFrom('meterNightReading').selectAll().orderBy('place'),
  )
  const tests = [...tankTests(tanks, levels), ...(await meterTests(db, meters, readings))]
  return tests.toSorted((a, b) => (a.onDate > b.onDate ? -1 : 1))
}

function tankRows(db: Database) {
  return db
    .selectFrom('nightTest')
    .innerJoin('tank', 'tank.entryId', 'nightTest.tankId')
    .select(['nightTest.entryId as id', 'nightTest.onDate', 'remark', 'tank.name'])
    .select('tank.areaM2')
    .where(standing('nightTest'))
}

type Rows<Q extends (db: Database) => { execute(): Promise<unknown[]> }> = Awaited<ReturnType<ReturnType<Q>['execute']>>

function tankTests(
  rows: Rows<typeof tankRows>,
  levels: readonly Selectable<FactTables['nightReading']>[],
): NightTest[] {
  const readings = group(levels, (row) => row.entryId)
  return rows.map(({ areaM2, ...test }) => {
    const own = (readings.get(test.id) ?? []).map((row) => {
      return { lineId: row.line, startLevelM: row.startLevelM, endLevelM: row.endLevelM, hours: row.hours }
    })
    return { ...test, register: '/log/lines/night', by: 'tank', ...nightTest({ areaM2, readings: own }) }
  })
}

function meterRows(db: Database) {
  return db
    .selectFrom('meterNightTest')
    .select(['entryId as id', 'pumpId', 'onDate', 'remark'])
    .where(standing('meterNightTest'))
}

async function meterTests(
  db: Database,
  rows: Rows<typeof meterRows>,
  shown: readonly Selectable<FactTables['meterNightReading']>[],
): Promise<NightTest[]> {
  const readings = group(shown, (row) => row.entryId)
  const tests: NightTest[] = []
  for (const { pumpId, ...test } of rows) {
    const pump = (await listPumps(db, test.onDate)).find((one) => one.id === pumpId)!
    const own = (readings.get(test.id) ?? []).map((row) => {
      return { lineId: row.line, startM3: row.startM3, endM3: row.endM3, hours: row.hours }
    })
    const readingStepM3 = Math.min(...own.flatMap(({ startM3, endM3 }) => [stepOf(startM3), stepOf(endM3)]))
    const lost = meterNightTest({ readings: own, meterDigits: pump.meterDigits, readingStepM3 })
    if (lost)
      tests.push({
        ...test,
        name: `${pump.number} ${pump.name}`,
        register: '/log/lines/night-meter',
        by: 'meter',
        ...lost,
      })
  }
  return tests
}
