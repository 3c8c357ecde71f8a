import { RELEASE, type ReleaseSettings, releaseM3, weirBook } from '../release.ts'
import type { WidePolicy } from './stores.ts'

/** The path of the store with what a group of the second world can know. */
export function oursWide(changed: Partial<ReleaseSettings> = {}): WidePolicy {
  return (season) => {
    const weir = weirBook({ ...season, upperYield: season.store.sand.upperYield })
    const settings = { ...RELEASE, ...changed }
    return (seen) => releaseM3(weir, seen, settings)
  }
}
