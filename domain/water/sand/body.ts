import { InputError } from '../../input-error.ts'
import type { M3, Range } from '../../units.ts'

/** How the volume is known: from a wall's measures alone, from probed sections, or corrected by the group's own books. */
export type EvidenceGrade = 'guessed' | 'probed' | 'calibrated'

type ValleyShape = 'rectangle' | 'parabola' | 'triangle' | 'trapezoid'

/** Sand thinning upstream in a straight line, in a valley that keeps its shape. */
export interface WedgeGeometry {
  kind: 'wedge'
  crestHeightM: number
  crestWidthM: number
  bottomWidthM: number
  bedSlope: number
  sandSlope: number
  valleyShape: ValleyShape
  /** The least that the slope of the bed may be; below `bedSlope` only where nobody measured it. */
  flattestBedSlope?: number
}

export interface ProbedPoint {
  offsetM: number
  sandLevelM: number
  bedLevelM: number
}

/** A line of probe holes across the stream; the chainage is the distance upstream of the wall. */
export interface CrossSection {
  chainageM: number
  points: ProbedPoint[]
}

export interface SurveyGeometry {
  kind: 'survey'
  sections: CrossSection[]
  /** Where the sand thins to nothing; null when nothing beyond the last section is counted. */
  tailChainageM: number | null
}

/** A layer of sand, counted down from the sand surface; the last one reaches the bedrock and has `toDepthM` null. */
export interface SandLayer {
  toDepthM: number | null
  specificYield: Range
}

/** One line of a level-volume table: drainable water above the bedrock at that level. */
export interface LevelVolumeRow {
  levelM: number
  lowM3: M3
  likelyM3: M3
  highM3: M3
}

/** The sand behind one weir. Levels are metres above the group's own datum. Plain data; every volume is computed from it. */
export interface SandBody {
  grade: EvidenceGrade
  bedLevelM: number
  crestLevelM: number
  geometry: WedgeGeometry | SurveyGeometry
  layers: SandLayer[]
  /** A table the group has accepted; where there is one it stands in for the geometry's own curve. */
  table: LevelVolumeRow[] | null
}

interface WedgeMeasures {
  crestHeightM: number
  crestWidthM: number
  bedSlope: number
  sandSlope?: number
  flattestBedSlope?: number
  valleyShape: ValleyShape
  /** Only for a trapezoid. */
  bottomWidthM?: number
  crestLevelM: number
  specificYield?: Range
  layers?: SandLayer[]
}

/**
 * First estimate of a weir's sand from a tape alone: depth at the wall, width there, slope of the bed.
 * Source: wedge geometry; the sixth of width x depth x throw-back of small-dam handbooks is its V-shaped case.
 * Slopes are metres per metre; the sand surface must be flatter than the bed.
 */
export function wedgeSandBody(measures: WedgeMeasures): SandBody {
  const { crestHeightM, crestWidthM, bedSlope, sandSlope = 0, valleyShape, crestLevelM } = measures
  const flattestBedSlope = Math.min(measures.flattestBedSlope ?? bedSlope, bedSlope)
  const bottomWidthM = valleyShape === 'trapezoid' ? (measures.bottomWidthM ?? Number.NaN) : 0
  mustBeAboveZero('crest-height-not-above-zero', { crestHeightM })
  mustBeAboveZero('crest-width-not-above-zero', { crestWidthM })
  mustBeAboveZero('bed-slope-not-above-zero', { bedSlope })
  mustBeAboveZero('bed-slope-not-above-zero', { flattestBedSlope })
  if (bedSlope > 1) throw new InputError('bed-slope-above-one', { bedSlope })
  if (!(sandSlope >= 0 && sandSlope < bedSlope))
    throw new InputError('sand-slope-not-below-bed', { sandSlope, bedSlope })
  if (!(bottomWidthM >= 0 && bottomWidthM <= crestWidthM))
    throw new InputError('bottom-width-not-within-crest', { bottomWidthM, crestWidthM })
  if (!Number.isFinite(crestLevelM)) throw new InputError('crest-level-not-a-number', { crestLevelM })
  return {
    grade: 'guessed',
    bedLevelM: crestLevelM - crestHeightM,
    crestLevelM,
    geometry: {
      kind: 'wedge',
      crestHeightM,
      crestWidthM,
      bottomWidthM,
      bedSlope,
      sandSlope,
      valleyShape,
      ...(flattestBedSlope < bedSlope ? { flattestBedSlope } : {}),
    },
    layers: checkedLayers(measures),
    table: null,
  }
}

interface Survey {
  sections: CrossSection[]
  tailChainageM?: number | null
  crestLevelM: number
  specificYield?: Range
  layers?: SandLayer[]
}

/**
 * A weir's sand from probed cross-sections. Sections run upstream from the wall; sand downstream of the first section
 * or beyond the tail is not counted. Levels may be above any datum, the crest's included.
 */
export function surveyedSandBody(survey: Survey): SandBody {
  const { sections, tailChainageM = null, crestLevelM } = survey
  const last = sections.at(-1)
  if (!last) throw new InputError('no-sections')
  if (sections.length === 1 && tailChainageM === null) throw new InputError('one-section-without-tail')
  sections.forEach((section, index) => {
    checkSection(section, sections[index - 1])
  })
  if (tailChainageM !== null && !(tailChainageM > last.chainageM))
    throw new InputError('tail-not-beyond-sections', { tailChainageM, chainageM: last.chainageM })
  const bedLevelM = Math.min(...sections.flatMap((section) => section.points.map((point) => point.bedLevelM)))
  if (!(crestLevelM > bedLevelM)) throw new InputError('crest-not-above-bed', { crestLevelM, bedLevelM })
  return {
    grade: 'probed',
    bedLevelM,
    crestLevelM,
    geometry: { kind: 'survey', sections, tailChainageM },
    layers: checkedLayers(survey),
    table: null,
  }
}

/** The same sand with a level-volume table that the group has accepted or corrected in place of the computed curve. */
export function withLevelVolumeTable({
  body,
  rows,
  grade,
}: {
  body: SandBody
  rows: LevelVolumeRow[]
  grade: EvidenceGrade
}): SandBody {
  if (rows.length < 2) throw new InputError('table-too-short', { rows: rows.length })
  rows.forEach((row, index) => {
    const before = rows[index - 1]
    if (!(0 <= row.lowM3 && row.lowM3 <= row.likelyM3 && row.likelyM3 <= row.highM3))
      throw new InputError('table-range-out-of-order', { row: index + 1 })
    if (before && !(row.levelM > before.levelM)) throw new InputError('table-level-not-rising', { row: index + 1 })
    if (before && (row.lowM3 < before.lowM3 || row.likelyM3 < before.likelyM3 || row.highM3 < before.highM3))
      throw new InputError('table-volume-falls', { row: index + 1 })
  })
  return { ...body, grade, table: rows }
}

function checkSection(section: CrossSection, before: CrossSection | undefined): void {
  const { chainageM, points } = section
  if (!Number.isFinite(chainageM)) throw new InputError('chainage-not-a-number', { chainageM })
  if (before && !(chainageM > before.chainageM)) throw new InputError('chainage-not-rising', { chainageM })
  if (points.length < 2) throw new InputError('section-too-few-points', { chainageM, points: points.length })
  points.forEach(({ offsetM, sandLevelM, bedLevelM }, index) => {
    const left = points[index - 1]
    if (left ? !(offsetM > left.offsetM) : !Number.isFinite(offsetM))
      throw new InputError('offset-not-rising', { chainageM, offsetM })
    if (!(bedLevelM <= sandLevelM))
      throw new InputError('bed-above-sand', { chainageM, offsetM, sandLevelM, bedLevelM })
  })
}

function checkedLayers({ specificYield, layers }: { specificYield?: Range; layers?: SandLayer[] }): SandLayer[] {
  const list = layers ?? (specificYield ? [{ toDepthM: null, specificYield }] : [])
  if (list.length === 0) throw new InputError('no-specific-yield')
  list.forEach((layer, index) => {
    const { low, likely, high } = layer.specificYield
    if (!(low >= 0 && low <= likely && likely <= high && high < 1 && likely > 0))
      throw new InputError('specific-yield-out-of-range', { layer: index + 1, low, likely, high })
    const isLast = index === list.length - 1
    if (isLast !== (layer.toDepthM === null)) throw new InputError('layer-does-not-reach-bed', { layer: index + 1 })
    if (layer.toDepthM !== null && !(layer.toDepthM > (list[index - 1]?.toDepthM ?? 0)))
      throw new InputError('layer-depth-not-rising', { layer: index + 1 })
  })
  return list
}

function mustBeAboveZero(code: string, values: Record<string, number>): void {
  for (const value of Object.values(values))
    if (!(value > 0 && Number.isFinite(value))) throw new InputError(code, values)
}
