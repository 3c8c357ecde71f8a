import { chamberLimit } from '../../../domain/water/chamber.ts'
import type { Database } from '../../database/connection.ts'
import { listPumps } from '../../works/pump/store.ts'
import type { WaterState } from '../storage/state.ts'
import { chamberNow } from './limit.ts'
import { chamberOn, listRefillTests } from './store.ts'

/** What the chamber of a weir gives at today's level, by its last refill test, and whether each pump in it draws faster. */
export async function chamberState(db: Database, state: WaterState) {
  const { weir, on } = state
  const chamber = await chamberOn(db, weir.id, on)
  const tests = await listRefillTests(db, weir.id, on)
  const test = tests.at(-1) ?? null
  const limit = chamberNow({ state, chamber, test })
  return { chamber, tests, test, limit, pumps: await pumpsBeside(db, { state, chamber, limit }) }
}

interface AtChamber {
  state: WaterState
  chamber: Awaited<ReturnType<typeof chamberOn>>
  limit: ReturnType<typeof chamberNow>
}

async function pumpsBeside(db: Database, { state, chamber, limit: { refill, headM, stopLevelM } }: AtChamber) {
  if (!chamber || !refill || headM === null || stopLevelM === null) return []
  const pumps = (await listPumps(db, state.on)).filter((pump) => pump.weirId === state.weir.id)
  return pumps.map((pump) => ({
    ...pump,
    ...chamberLimit({
      conductanceM2PerH: refill.conductanceM2PerH,
      chamberAreaM2: chamber.areaM2,
      waterLevelM: stopLevelM + headM,
      stopLevelM,
      pumpFlowM3PerH: pump.usualFlowM3PerH,
    }),
  }))
}
