import { sum } from '../sum.ts'
import { exactM3, type M3 } from '../units.ts'
import { checkedPositive } from '../works/checked-number.ts'
import { TANK_LEVEL_ERROR_M } from '../works/tool-errors.ts'
import { meterPassedM3 } from './draw/meter.ts'

interface NightReading {
  /** The line that was opened for this stretch; null while every valve was shut. */
  lineId: string | null
  startLevelM: number
  endLevelM: number
  hours: number
}

export interface NightLoss {
  lineId: string | null
  lostM3: M3
  lossM3PerH: number
  toleranceM3: M3
  shows: boolean
}

/**
 * Night test of a tank: what it lost with all valves shut, then with one line at a time opened against shut outlets.
 * A loss smaller than the error of its two level readings shows nothing. Common practice, no source.
 */
export function nightTest({
  areaM2,
  readings,
  levelErrorM = TANK_LEVEL_ERROR_M,
}: {
  areaM2: number
  readings: readonly NightReading[]
  levelErrorM?: number
}): { losses: NightLoss[]; totalLostM3: M3 } {
  checkedPositive(areaM2, 'areaM2')
  const toleranceM3 = areaM2 * Math.hypot(levelErrorM, levelErrorM)
  const losses = readings.map(({ lineId, startLevelM, endLevelM, hours }) => {
    const lostM3 = exactM3(areaM2 * (startLevelM - endLevelM))
    const lossM3PerH = lostM3 / checkedPositive(hours, 'hours')
    return { lineId, lostM3, lossM3PerH, toleranceM3, shows: lostM3 > toleranceM3 }
  })
  return { losses, totalLostM3: exactM3(sum(losses, (loss) => loss.lostM3)) }
}

interface MeterNightReading {
  lineId: string | null
  startM3: M3
  endM3: M3
  hours: number
}

/**
 * The same by the pump's meter, the line kept under pressure with every outlet shut: whatever passes the meter is lost behind
 * it. Each of the two readings may be off by half of the smallest step that was read; less than both can hide shows nothing. A
 * meter stands still for a trickle, so nothing shown is no proof of a tight line. Null where the counter ran back. Common
 * practice, no source.
 */
export function meterNightTest({
  readings,
  meterDigits,
  readingStepM3,
}: {
  readings: readonly MeterNightReading[]
  meterDigits: number
  readingStepM3: M3
}): { losses: NightLoss[]; totalLostM3: M3 } | null {
  const toleranceM3 = Math.hypot(readingStepM3 / 2, readingStepM3 / 2)
  const losses: NightLoss[] = []
  for (const { lineId, startM3, endM3, hours } of readings) {
    const { volumeM3: lostM3 } = meterPassedM3({ openingM3: startM3, closingM3: endM3, meterDigits })
    if (lostM3 === null) return null
    const lossM3PerH = lostM3 / checkedPositive(hours, 'hours')
    losses.push({ lineId, lostM3, lossM3PerH, toleranceM3, shows: lostM3 > toleranceM3 })
  }
  return { losses, totalLostM3: exactM3(sum(losses, (loss) => loss.lostM3)) }
}
