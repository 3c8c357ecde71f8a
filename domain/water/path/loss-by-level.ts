import { sandEvaporationShare } from '../loss/sand-evaporation.ts'

/** What a weir loses by itself: measured at one level, told for every level. */
export interface LossByLevel {
  /** Fall on rest days, cm a day; null while nobody measured it, below zero where the level rose by itself. */
  fallCmPerDay: number | null
  /** Level at which that fall was measured, m above the group's datum. */
  measuredAtLevelM: number
}

/** What the loss needs to know of the sand: its level-volume curve and how deep the water lies. */
export interface LevelCurve {
  bedLevelM: number
  crestLevelM: number
  /** Share of the bulk volume that drains, 0..1, near the surface. */
  specificYield: number
  storedM3: (levelM: number) => number
}

/** One measured fall cannot part leak from evaporation, so no more than this part of it is taken to die with depth. */
const MOST_EVAPORATION = 0.5
/** Open water gives off hardly more than this in a dry season's day. Common practice, no source. */
const MOST_OPEN_WATER_MM = 8
/** Sand that was found to lose nothing still loses this part of what it holds in a day. Common practice, no source. */
const LEAST_LOSS_PART = 0.003
const AREA_STEP_M = 0.025

/**
 * Loss in m3 a day at every level from one measured fall in cm a day: evaporation, at most half of it, falls with the
 * depth of the water table and with the wet area; the rest is leak and falls with the head above the bed. A level that
 * rose by itself counts as no loss, since what banks give is never counted on; and no sand loses less than 0.3 per cent
 * of what it stores. Sources: Hellwig 1973 for evaporation by depth (memory, see `sandEvaporationShare`), Darcy's law
 * with a steady leak path for the head.
 */
export function lossByLevelM3(curve: LevelCurve, loss: LossByLevel): (levelM: number) => number {
  const { bedLevelM, crestLevelM, storedM3, specificYield } = curve
  const atM = Math.min(Math.max(loss.measuredAtLevelM, bedLevelM + AREA_STEP_M), crestLevelM)
  const fallM = Math.max(0, loss.fallCmPerDay ?? 0) / 100
  const measuredM3 = storedM3(atM) - storedM3(atM - fallM)
  const share = (levelM: number) => sandEvaporationShare({ waterTableDepthM: Math.max(0, crestLevelM - levelM) }) ?? 0
  const wetArea = (levelM: number) => {
    const [lower, upper] = [Math.max(bedLevelM, levelM - AREA_STEP_M), Math.min(crestLevelM, levelM + AREA_STEP_M)]
    return upper > lower ? (storedM3(upper) - storedM3(lower)) / (upper - lower) : 0
  }
  const mostM3 = (share(atM) * MOST_OPEN_WATER_MM * wetArea(atM)) / 1000 / specificYield
  const evaporationM3 = Math.min(MOST_EVAPORATION * measuredM3, mostM3)
  const leakM3 = measuredM3 - evaporationM3
  const perShareAndArea = evaporationM3 > 0 ? evaporationM3 / (share(atM) * wetArea(atM)) : 0
  return (levelM) => {
    const head = Math.max(0, levelM - bedLevelM) / (atM - bedLevelM)
    const lostM3 = perShareAndArea * share(levelM) * wetArea(levelM) + leakM3 * head
    return Math.max(lostM3, LEAST_LOSS_PART * storedM3(levelM))
  }
}
