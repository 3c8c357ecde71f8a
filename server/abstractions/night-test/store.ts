import { group } from 'd3-array'
import { meterNightTest, type NightLoss, nightTest } from '../../../domain/abstractions/night-test.ts'
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
  totalLostM3: number
}

/** The night tests of tanks and pumps with what each line lost, newest first. */
export async function nightTests(db: Database): Promise<NightTest[]> {
  const tests = [...(await tankTests(db)), ...(await meterTests(db))]
  return tests.toSorted((a, b) => (a.onDate > b.onDate ? -1 : 1))
}

async function tankTests(db: Database): Promise<NightTest[]> {
  const rows = await db
    .selectFrom('night_test')
    .innerJoin('tank', 'tank.entry_id', 'night_test.tank_id')
    .select(['night_test.entry_id as id', 'night_test.on_date as onDate', 'remark', 'tank.name'])
    .select('tank.area_m2 as areaM2')
    .where(standing('night_test'))
    .execute()
  const readings = group(
    await db.selectFrom('night_reading').selectAll().orderBy('place').execute(),
    (row) => row.entry_id,
  )
  return rows.map(({ areaM2, ...test }) => {
    const own = (readings.get(test.id) ?? []).map((row) => {
      return { lineId: row.line, startLevelM: row.start_level_m, endLevelM: row.end_level_m, hours: row.hours }
    })
    return { ...test, register: '/log/night-tests', by: 'tank', ...nightTest({ areaM2, readings: own }) }
  })
}

async function meterTests(db: Database): Promise<NightTest[]> {
  const rows = await db
    .selectFrom('meter_night_test')
    .select(['entry_id as id', 'pump_id as pumpId', 'on_date as onDate', 'remark'])
    .where(standing('meter_night_test'))
    .execute()
  const readings = group(
    await db.selectFrom('meter_night_reading').selectAll().orderBy('place').execute(),
    (row) => row.entry_id,
  )
  const tests: NightTest[] = []
  for (const { pumpId, ...test } of rows) {
    const pump = (await listPumps(db, test.onDate)).find((one) => one.id === pumpId)!
    const own = (readings.get(test.id) ?? []).map((row) => {
      return { lineId: row.line, startM3: row.start_m3, endM3: row.end_m3, hours: row.hours }
    })
    const readingStepM3 = Math.min(...own.flatMap(({ startM3, endM3 }) => [stepOf(startM3), stepOf(endM3)]))
    const lost = meterNightTest({ readings: own, meterDigits: pump.meterDigits, readingStepM3 })
    if (lost)
      tests.push({
        ...test,
        name: `${pump.number} ${pump.name}`,
        register: '/log/meter-night-tests',
        by: 'meter',
        ...lost,
      })
  }
  return tests
}
