import type { M3 } from '../../units.ts'
import type { SandBody } from './body.ts'
import { drainableStorageM3, waterLevelForStorageM } from './storage.ts'

/**
 * The level some days after a reading, when so much was drawn, drunk and lost since then. Rain of those days is not
 * counted; a level above the crest starts at the crest. Source: continuity through the likely curve.
 */
export function levelAfterTakingM({
  body,
  waterLevelM,
  takenM3,
}: {
  body: SandBody
  waterLevelM: number
  takenM3: M3
}): number {
  const levelM = Math.min(waterLevelM, body.crestLevelM)
  if (takenM3 === 0) return levelM
  const storedM3 = drainableStorageM3({ body, waterLevelM: levelM }).likelyM3
  return waterLevelForStorageM({ body, storageM3: Math.max(0, storedM3 - takenM3) }) ?? body.crestLevelM
}
