import { InputError } from '../../input-error.ts'
import type { M3 } from '../../units.ts'
import type { LevelVolumeRow, SandBody } from './body.ts'
import { surveyVolumeM3 } from './survey-volume.ts'
import { wedgeVolumeM3 } from './wedge-volume.ts'

export interface VolumeRangeM3 {
  lowM3: M3
  likelyM3: M3
  highM3: M3
}

export interface BodyAtLevel {
  body: SandBody
  waterLevelM: number
}

/** Bulk volume of the sand below a level water table, in m3; a level above the crest counts as the crest. */
export function saturatedVolumeM3({ body, waterLevelM }: BodyAtLevel): number {
  return volumeBelowM3(body, Math.min(waterLevelM, body.crestLevelM), 0)
}

/**
 * Of sand that nobody probed the shape is a guess too, and holds from half to twice as much: one width, depth and length
 * hold from 1/6 (V) over 4/15 (dish) to 1/2 (box) of their product, so that a dish may be 0.63 to 1.88 of what it is taken
 * for. Source: geometry of a wedge, the sixth from small-dam handbooks; the rounding to two is ours.
 */
const GUESSED_SHAPE_TIMES = 2

/**
 * Water above the bedrock that drains by gravity, m3: wet sand x specific yield, layer by layer, low / likely / high by the
 * range of the yield and, where the sand is known by a tape alone, of the shape; two doubts that have nothing to do with
 * each other, so their squares add up. A level above the crest counts as the crest and is flagged, since that water runs on.
 */
export function drainableStorageM3({ body, waterLevelM }: BodyAtLevel): VolumeRangeM3 & { aboveCrest: boolean } {
  if (Number.isNaN(waterLevelM)) throw new RangeError('water level is not a number')
  const levelM = Math.min(waterLevelM, body.crestLevelM)
  const range = body.table ? tableRangeM3(body.table, levelM) : layersRangeM3(body, levelM)
  return { ...range, aboveCrest: waterLevelM > body.crestLevelM }
}

/** The likely drainable water, m3, under a level. */
export function likelyStorageM3(body: SandBody, waterLevelM: number): number {
  return drainableStorageM3({ body, waterLevelM }).likelyM3
}

export interface AvailableStorage {
  /** Above the mouth of the off-take: what a pump can draw and a plan may count on. */
  available: VolumeRangeM3
  /** Below it: left for drawing by hand. */
  handDrawn: VolumeRangeM3
  aboveCrest: boolean
}

/** Drainable water parted at the off-take. */
export function availableStorageM3({
  body,
  waterLevelM,
  offTakeLevelM,
}: BodyAtLevel & { offTakeLevelM: number }): AvailableStorage {
  if (!(offTakeLevelM < body.crestLevelM))
    throw new InputError('off-take-not-below-crest', { offTakeLevelM, crestLevelM: body.crestLevelM })
  const { aboveCrest, ...all } = drainableStorageM3({ body, waterLevelM })
  const below = drainableStorageM3({ body, waterLevelM: Math.min(waterLevelM, offTakeLevelM) })
  const handDrawn = { lowM3: below.lowM3, likelyM3: below.likelyM3, highM3: below.highM3 }
  const available = {
    lowM3: all.lowM3 - below.lowM3,
    likelyM3: all.likelyM3 - below.likelyM3,
    highM3: all.highM3 - below.highM3,
  }
  return { available, handDrawn, aboveCrest }
}

/** The level at which the likely curve holds that much drainable water; null when the sand cannot hold it. */
export function waterLevelForStorageM({ body, storageM3 }: { body: SandBody; storageM3: M3 }): number | null {
  if (!(storageM3 >= 0)) throw new InputError('storage-below-zero', { storageM3 })
  if (storageM3 > likelyStorageM3(body, body.crestLevelM)) return null
  let [lowerM, upperM] = [body.bedLevelM, body.crestLevelM]
  while (upperM - lowerM > 1e-7) {
    const middleM = (lowerM + upperM) / 2
    if (likelyStorageM3(body, middleM) < storageM3) lowerM = middleM
    else upperM = middleM
  }
  return storageM3 === 0 ? body.bedLevelM : upperM
}

interface StageStorageRow extends LevelVolumeRow {
  saturatedVolumeM3: M3
}

/**
 * The level-volume table in m and m3, lowest level first: steps counted down from the crest, ten centimetres unless told
 * otherwise (common practice, no source), and the bed as the first row.
 */
export function stageStorageCurve({ body, stepM = 0.1 }: { body: SandBody; stepM?: number }): StageStorageRow[] {
  if (!(stepM > 0)) throw new InputError('step-not-above-zero', { stepM })
  const heightM = body.crestLevelM - body.bedLevelM
  const steps = Math.ceil(heightM / stepM - 1e-9)
  const levelsM = Array.from({ length: steps }, (_, step) => body.crestLevelM - step * stepM)
  return [...levelsM, body.bedLevelM].reverse().map((levelM) => {
    const { lowM3, likelyM3, highM3 } = drainableStorageM3({ body, waterLevelM: levelM })
    return { levelM, saturatedVolumeM3: saturatedVolumeM3({ body, waterLevelM: levelM }), lowM3, likelyM3, highM3 }
  })
}

function layersRangeM3(body: SandBody, levelM: number): VolumeRangeM3 {
  const range = { lowM3: 0, likelyM3: 0, highM3: 0 }
  let topM = 0
  for (const { toDepthM, specificYield } of body.layers) {
    const below = toDepthM === null ? 0 : volumeBelowM3(body, levelM, toDepthM)
    const wetM3 = volumeBelowM3(body, levelM, topM) - below
    range.lowM3 += wetM3 * specificYield.low
    range.likelyM3 += wetM3 * specificYield.likely
    range.highM3 += wetM3 * specificYield.high
    topM = toDepthM ?? topM
  }
  if (body.geometry.kind !== 'wedge') return range
  const { bedSlope, flattestBedSlope = bedSlope } = body.geometry
  const { lowM3, likelyM3, highM3 } = withGuessedShape(range)
  // The flatter the bed, the further the sand reaches upstream, in proportion.
  return { lowM3, likelyM3, highM3: highM3 * (bedSlope / flattestBedSlope) }
}

function withGuessedShape({ lowM3, likelyM3, highM3 }: VolumeRangeM3): VolumeRangeM3 {
  if (likelyM3 === 0) return { lowM3, likelyM3, highM3 }
  const times = (yieldTimes: number) => Math.exp(Math.hypot(Math.log(GUESSED_SHAPE_TIMES), Math.log(yieldTimes)))
  return {
    lowM3: lowM3 === 0 ? 0 : likelyM3 / times(likelyM3 / lowM3),
    likelyM3,
    highM3: likelyM3 * times(highM3 / likelyM3),
  }
}

function volumeBelowM3(body: SandBody, levelM: number, loweredM: number): number {
  const { geometry } = body
  return geometry.kind === 'wedge'
    ? wedgeVolumeM3(geometry, levelM - body.bedLevelM, loweredM)
    : surveyVolumeM3(geometry, levelM, loweredM)
}

/** Straight line between the rows of a table; its ends hold beyond them. */
function tableRangeM3(rows: LevelVolumeRow[], levelM: number): VolumeRangeM3 {
  const above = rows.findIndex((row) => row.levelM >= levelM)
  const upper = rows[above === -1 ? rows.length - 1 : above]!
  const lower = above > 0 ? rows[above - 1]! : upper
  const share = upper.levelM > lower.levelM ? (levelM - lower.levelM) / (upper.levelM - lower.levelM) : 0
  const between = (key: keyof VolumeRangeM3) => lower[key] + (upper[key] - lower[key]) * share
  return { lowM3: between('lowM3'), likelyM3: between('likelyM3'), highM3: between('highM3') }
}
