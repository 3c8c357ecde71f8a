import { InputError } from '../../input-error.ts'
import { SAND_EVAPORATION } from '../data/sand-evaporation.ts'

/**
 * Share of open-water evaporation that bare medium to coarse sand gives off, by depth of the water table; straight lines
 * between the rows and nothing below the last. Null with water standing on the sand, which the table does not cover.
 * Source: Hellwig 1973, J. Hydrology 18, as commonly quoted (memory).
 */
export function sandEvaporationShare({ waterTableDepthM }: { waterTableDepthM: number }): number | null {
  if (!(waterTableDepthM >= 0)) return null
  const next = SAND_EVAPORATION.findIndex((row) => row.waterTableDepthM >= waterTableDepthM)
  if (next === -1) return 0
  const lower = SAND_EVAPORATION[next]!
  const upper = SAND_EVAPORATION[Math.max(0, next - 1)]!
  const gapM = lower.waterTableDepthM - upper.waterTableDepthM
  const part = gapM > 0 ? (waterTableDepthM - upper.waterTableDepthM) / gapM : 0
  return upper.shareOfOpenWater + (lower.shareOfOpenWater - upper.shareOfOpenWater) * part
}

/** Evaporation from the sand in mm, of so much from open water over the same time; plants take theirs besides. */
export function sandEvaporationMm({
  openWaterMm,
  waterTableDepthM,
}: {
  openWaterMm: number
  waterTableDepthM: number
}): number | null {
  if (!(openWaterMm >= 0)) throw new InputError('evaporation-below-zero', { openWaterMm })
  const share = sandEvaporationShare({ waterTableDepthM })
  return share === null ? null : share * openWaterMm
}
