import { group } from 'd3-array'
import { meterNightTest, type NightLoss, nightTest } from '../../../domain/abstractions/night-test.ts'
import type { M3 } from '../../../domain/units.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
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
  const tests = [...(await tankTests(db)), ...(await meterTests(db))]
  return tests.toSorted((a, b) => (a.onDate > b.onDate ? -1 : 1))
}

async function tankTests(db: Database): Promise<NightTest[]> {
  const rows = await db
    .selectFrom('nightTest')
    .innerJoin('tank', 'tank.entryId', 'nightTest.tankId')
    .select(['nightTest.entryId as id', 'nightTest.onDate', 'remark', 'tank.name'])
    .select('tank.areaM2')
    .where(standing('nightTest'))
    .execute()
  const readings = group(
    await db.selectFrom('nightReading').selectAll().orderBy('place').execute(),
    (row) => row.entryId,
  )
  return rows.map(({ areaM2, ...test }) => {
    const own = (readings.get(test.id) ?? []).map((row) => {
      return { lineId: row.line, startLevelM: row.startLevelM, endLevelM: row.endLevelM, hours: row.hours }
    })
    return { ...test, register: '/log/lines/night', by: 'tank', ...nightTest({ areaM2, readings: own }) }
  })
}

async function meterTests(db: Database): Promise<NightTest[]> {
  const rows = await db
    .selectFrom('meterNightTest')
    .select(['entryId as id', 'pumpId', 'onDate', 'remark'])
    .where(standing('meterNightTest'))
    .execute()
  const readings = group(
    await db.selectFrom('meterNightReading').selectAll().orderBy('place').execute(),
    (row) => row.entryId,
  )
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
