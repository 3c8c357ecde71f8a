import { type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import type { WaterState } from '../../water/storage/state.ts'
import { listPumps } from '../../works/pump/store.ts'
import type { RotationAsks } from '../asks.ts'
import { openTurns } from '../outcome/waiting-store.ts'

/**
 * What leaves each weir between its last reading and the first day of the week: water for crops that was logged since,
 * turns still due, and drinking and loss of every day between. A week is planned with what will stand in the sand when
 * it begins, not with what stood there when somebody last looked.
 */
export async function takenBeforeWeek(
  db: Database,
  asks: RotationAsks,
  { states, weekStartOn, today }: { states: readonly WaterState[]; weekStartOn: CalendarDate; today: string },
): Promise<Map<string, number>> {
  const read = states.flatMap(({ reading }) => (reading ? [reading.readOn] : []))
  if (read.length === 0) return new Map()
  const logged = await asks.draws(db, { fromOn: read.sort()[0]!, toOn: weekStartOn })
  const due = await openTurns(db, today, weekStartOn)
  const weirOfPump = new Map((await listPumps(db, today)).map((pump) => [pump.id, pump.weirId]))
  return new Map(
    states.map(({ weir, reading, dailyDrinkingM3, dailyLossM3 }) => {
      if (!reading) return [weir.id, 0]
      const days = Math.max(0, daysBetween(reading.readOn, weekStartOn))
      const drawn = logged.filter(
        (draw) =>
          draw.weirId === weir.id &&
          draw.onDate >= reading.readOn &&
          draw.onDate < weekStartOn &&
          !['drinking', 'stock'].includes(draw.use),
      )
      const toCome = due.filter((turn) => weirOfPump.get(turn.pumpId) === weir.id)
      const daily = ((dailyDrinkingM3 ?? 0) + dailyLossM3) * days
      return [weir.id, sum(drawn, volumeOf) + sum(toCome, volumeOf) + daily]
    }),
  )
}

function volumeOf({ volumeM3 }: { volumeM3: M3 }): number {
  return volumeM3
}
