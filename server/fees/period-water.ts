import { group } from 'd3-array'
import { combinedErrorM3, exactM3 } from '../../domain/abstractions/index.ts'
import type { CalendarDate } from '../../domain/calendar.ts'
import type { Abstraction } from '../abstractions/abstraction-store.ts'
import { meterReads } from '../abstractions/meter-store.ts'
import type { Database } from '../database/connection.ts'

export interface PeriodWater {
  pumpedM3: number
  /** What the log says went through the pumps. */
  throughPumpsM3: number
  unexplainedM3: number
  toleranceM3: number
}

/**
 * Pumped by the pumps' own meters against what the log says went through them. What a meter counted between the closing
 * of one turn and the opening of the next was pumped and is in no slip. Null where no meter was read.
 */
export async function periodWater(
  db: Database,
  { draws, from, to }: { draws: readonly Abstraction[]; from: CalendarDate; to: CalendarDate },
): Promise<PeriodWater | null> {
  const pumped = draws.filter((draw) => draw.pumpId !== null && draw.onDate >= from && draw.onDate <= to)
  const errorsM3: number[] = []
  let pumpedM3 = 0
  let throughM3 = 0
  for (const [pumpId, own] of group(pumped, (draw) => draw.pumpId!)) {
    const metered = own.filter((draw) => draw.method === 'meter')
    if (metered.length === 0) continue
    const reads = await meterReads(db, pumpId)
    const betweenM3 = reads.reduce((sum, read, at) => {
      const previous = reads[at - 1]
      const inside = previous && read.onDate >= from && read.onDate <= to
      // A meter that starts anew says nothing about the water in between.
      return inside ? sum + Math.max(0, read.openingM3 - previous.closingM3) : sum
    }, 0)
    pumpedM3 += metered.reduce((sum, draw) => sum + draw.volumeM3, 0) + betweenM3
    throughM3 += own.reduce((sum, draw) => sum + draw.volumeM3, 0)
    errorsM3.push(own.reduce((sum, draw) => sum + draw.uncertaintyM3, 0))
  }
  if (errorsM3.length === 0) return null
  return {
    pumpedM3: exactM3(pumpedM3),
    throughPumpsM3: exactM3(throughM3),
    unexplainedM3: exactM3(pumpedM3 - throughM3),
    toleranceM3: combinedErrorM3({ errorsM3 }),
  }
}
