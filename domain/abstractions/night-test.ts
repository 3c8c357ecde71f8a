import { checkedPositive } from './checked-number.ts'
import { exactM3 } from './meter.ts'
import { TANK_LEVEL_ERROR_M } from './tool-errors.ts'

export interface NightReading {
  /** The line that was opened for this stretch; null while every valve was shut. */
  lineId: string | null
  startLevelM: number
  endLevelM: number
  hours: number
}

export interface NightLoss {
  lineId: string | null
  lostM3: number
  lossM3PerH: number
  toleranceM3: number
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
}): { losses: NightLoss[]; totalLostM3: number } {
  checkedPositive(areaM2, 'areaM2')
  const toleranceM3 = areaM2 * Math.hypot(levelErrorM, levelErrorM)
  const losses = readings.map(({ lineId, startLevelM, endLevelM, hours }) => {
    const lostM3 = exactM3(areaM2 * (startLevelM - endLevelM))
    const lossM3PerH = lostM3 / checkedPositive(hours, 'hours')
    return { lineId, lostM3, lossM3PerH, toleranceM3, shows: lostM3 > toleranceM3 }
  })
  return { losses, totalLostM3: exactM3(losses.reduce((total, loss) => total + loss.lostM3, 0)) }
}
