import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { tankUsesOn } from '../../rotation/tank-turn/store.ts'
import { listTanks, type Tank } from '../../works/tank/store.ts'
import type { Abstraction } from '../draw/store.ts'
import type { Works } from '../place/store.ts'
import type { LogFlag } from './log-flag.ts'

export interface DrinkingTank extends Tank {
  keptM3: number
  /** What stood in it at dusk of the day; null where it was not read. */
  duskM3: number | null
}

/** The tanks that people drink from on each of some days, with what always stays in them, and by the levels of those days. */
export async function drinkingTanks(
  db: Database,
  readings: readonly { tankId: Id<'tank'>; on: CalendarDate; moment: string; reading: number }[],
): Promise<(on: CalendarDate) => Promise<DrinkingTank[]>> {
  const tanks = await listTanks(db)
  if (tanks.length === 0) return async () => []
  const read = group(
    readings.filter(({ moment }) => moment === 'dusk'),
    ({ on }) => on,
  )
  return async (on) => {
    const uses = await tankUsesOn(db, on)
    return tanks.flatMap((tank) => {
      const use = uses.get(tank.id)
      const dusk = read.get(on)?.findLast(({ tankId }) => tankId === tank.id)
      const duskM3 = dusk ? dusk.reading * tank.areaM2 : null
      return use?.servesStand ? [{ ...tank, keptM3: use.keptM3, duskM3 }] : []
    })
  }
}

/**
 * Crop water out of a tank that people drink from: beside the agreed turns, or with the tank below its mark in the evening. A draw
 * at the pump without an outlet and without its meter came out of the tank that the pump fills.
 */
export function fromDrinkingTank(draw: Abstraction, tanks: readonly DrinkingTank[], { fed }: Works): LogFlag[] {
  if (draw.use !== 'irrigation' || draw.volumeM3 <= 0) return []
  const isOfTank = ({ id, pumpId }: DrinkingTank) =>
    draw.outletId === null ? draw.pumpId === pumpId && draw.method !== 'meter' : fed.get(draw.outletId) === id
  const tank = tanks.find(isOfTank)
  if (!tank) return []
  const values = { tank: String(tank.number), keptM3: tank.keptM3, duskM3: tank.duskM3 ?? 0 }
  if (tank.duskM3 !== null && tank.duskM3 < tank.keptM3 - 0.001)
    return [{ code: 'drinking-tank-below-mark', likelyCause: 'drinking-tank', values }]
  if (draw.turnId === null) return [{ code: 'crops-from-drinking-tank', likelyCause: 'drinking-tank', values }]
  return []
}
