import type { M3 } from '../../units.ts'
import type { SandBody } from '../sand/body.ts'
import { drainableStorageM3 } from '../sand/storage.ts'

/**
 * What the sand loses by itself, pump off: a volume the group settled on, or the fall measured on rest days.
 * Below zero where the banks give water back.
 */
export type WeirLoss = { dailyM3: M3 } | { fallCmPerDay: number }

/** A day's loss in m3; a fall goes through the curve, since the same centimetre is less water the lower it stands. */
export function dailyLossM3({
  body,
  waterLevelM,
  loss,
}: {
  body: SandBody
  waterLevelM: number
  loss: WeirLoss
}): number {
  if ('dailyM3' in loss) return loss.dailyM3
  const levelM = Math.min(waterLevelM, body.crestLevelM)
  const storedM3 = (atM: number) => drainableStorageM3({ body, waterLevelM: atM }).likelyM3
  return storedM3(levelM) - storedM3(levelM - loss.fallCmPerDay / 100)
}
