import { group } from 'd3-array'
import { nightTest } from '../../domain/abstractions/index.ts'
import type { Database } from '../database/connection.ts'
import { standing } from '../database/standing.ts'

/** The night tests of the tanks with what each line lost, newest first. */
export async function nightTests(db: Database) {
  const rows = await db
    .selectFrom('night_test')
    .innerJoin('tank', 'tank.entry_id', 'night_test.tank_id')
    .select(['night_test.entry_id as id', 'night_test.on_date as onDate', 'remark', 'tank.name'])
    .select('tank.area_m2 as areaM2')
    .where(standing('night_test'))
    .orderBy('night_test.on_date', 'desc')
    .execute()
  const readings = group(
    await db.selectFrom('night_reading').selectAll().orderBy('place').execute(),
    (row) => row.entry_id,
  )
  return rows.map(({ areaM2, ...test }) => {
    const own = (readings.get(test.id) ?? []).map((row) => {
      return { lineId: row.line, startLevelM: row.start_level_m, endLevelM: row.end_level_m, hours: row.hours }
    })
    return { ...test, ...nightTest({ areaM2, readings: own }) }
  })
}
