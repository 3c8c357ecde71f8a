import {
  type ChamberRefill,
  chamberInflowM3PerH,
  chamberRecoveryMinutes,
  chamberRefill,
} from '../../../domain/water/chamber.ts'
import { levelsOf } from '../sand/description.ts'
import type { WaterState } from '../storage/state.ts'
import type { Chamber, RefillTest } from './types.ts'

type ChamberMissing = 'no-chamber' | 'no-test' | 'no-refill' | 'no-reading' | 'no-body'

interface ChamberNow {
  missing: ChamberMissing[]
  refill: ChamberRefill | null
  /** Where the pump must stop: at the stop mark, or at the mouth of the off-take where that lies higher. */
  stopLevelM: number | null
  headM: number | null
  /** What flows in without end while the chamber is drawn down to there; low and high by the doubt of the level. */
  sustained: { lowM3PerH: number; likelyM3PerH: number; highM3PerH: number } | null
  /** Until nine tenths of the drawdown are made good. */
  recoveryMinutes: number | null
  /** Today's level less that of the test. */
  levelSinceTestCm: number | null
}

export function conductanceOf(test: RefillTest): ChamberRefill | null {
  const readings = test.readings.map(({ minutes, belowRimCm }) => ({
    minutes,
    drawdownM: (belowRimCm - test.restBelowRimCm) / 100,
  }))
  return chamberRefill({ chamberAreaM2: test.areaM2, readings })
}

/**
 * What a chamber gives at the level of the day. Below the mouth of the off-take the pipe runs freely and a deeper
 * chamber draws no more from the sand, so the head is never counted lower than the mouth.
 */
export function chamberNow({
  state,
  chamber,
  test,
}: {
  state: WaterState
  chamber: Chamber | null
  test: RefillTest | null
}): ChamberNow {
  const { survey, storage } = state
  const refill = test && conductanceOf(test)
  const missing: ChamberMissing[] = [
    ...(chamber ? [] : ['no-chamber' as const]),
    ...(test ? (refill ? [] : ['no-refill' as const]) : ['no-test' as const]),
    ...(storage.cannotSay ?? []),
  ]
  const rimLevelM = chamber && survey ? survey.crestLevelM + chamber.rimAboveCrestM : null
  const stopLevelM =
    rimLevelM === null || !chamber || !survey
      ? null
      : Math.max(rimLevelM - chamber.stopBelowRimCm / 100, levelsOf(survey).offTakeLevelM)
  const waterLevelM = storage.cannotSay ? null : Math.min(storage.waterLevelM, survey?.crestLevelM ?? Infinity)
  const headM = waterLevelM === null || stopLevelM === null ? null : Math.max(0, waterLevelM - stopLevelM)
  const inflow = (levelErrorM: number) =>
    chamberInflowM3PerH({ conductanceM2PerH: refill?.conductanceM2PerH ?? 0, drawdownM: (headM ?? 0) + levelErrorM })
  const isKnown = refill !== null && headM !== null && !storage.cannotSay
  const errorM = storage.cannotSay ? 0 : storage.levelErrorCm / 100
  return {
    missing,
    refill,
    stopLevelM,
    headM,
    sustained: isKnown ? { lowM3PerH: inflow(-errorM), likelyM3PerH: inflow(0), highM3PerH: inflow(errorM) } : null,
    recoveryMinutes:
      refill && chamber ? chamberRecoveryMinutes({ ...refill, chamberAreaM2: chamber.areaM2, share: 0.9 }) : null,
    levelSinceTestCm:
      test && rimLevelM !== null && waterLevelM !== null
        ? 100 * (waterLevelM - (rimLevelM - test.restBelowRimCm / 100))
        : null,
  }
}
