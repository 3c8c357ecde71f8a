import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import { type Sediment, specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import {
  type SandBody,
  surveyedSandBody,
  wedgeSandBody,
  withLevelVolumeTable,
} from '../../../domain/water/sand/body.ts'
import { FLATTEST_BED, HIGHEST_MARK_M, type UnmeasuredSand } from '../../../domain/water/sand/unmeasured.ts'
import { type ProbedSand, yieldingLayers } from './survey-store.ts'
import type { WrittenTable } from './table-store.ts'

/** The valley shapes that a form offers; the domain knows more. */
export const WEIR_SHAPES = ['rectangle', 'parabola', 'triangle'] as const

/** Levels that every description gives, above the group's own datum. */
interface SandLevels {
  crestLevelM: number
  /** Depth of the sand at the wall, or down to the deepest probe: bed to crest. */
  crestHeightM: number
  offTakeAboveBedM: number
  /** Below zero when the mark is under the crest. */
  markAboveCrestM: number
  /** Fall of the level in a day without pumping; null when nobody has measured it. */
  lossCmPerDay: number | null
}

export interface TapeMeasures {
  crestWidthM: number
  /** Fall of the bed along the stream, metres per metre. */
  bedSlope: number
  valleyShape: (typeof WEIR_SHAPES)[number]
  sandType: Sediment
}

/** A weir's sand from a tape alone. */
export interface SurveyMeasures extends SandLevels, TapeMeasures {
  /** Figures that nobody knew; those beside them give the least water. */
  unmeasured?: readonly UnmeasuredSand[]
}

/**
 * What the book holds of a weir's sand from a day on. A survey begins anew; an accepted table or a settled loss
 * changes its part and leaves the rest of the description as it was.
 */
export interface WeirSurvey extends SandLevels {
  entryId: string
  seq: number
  weirId: Id<'weir'>
  fromOn: CalendarDate
  change: 'survey' | 'table' | 'loss'
  /** The day on which the loss without pumping was settled. */
  lossSettledOn: CalendarDate
  /** The survey on which it stands, and its day. */
  surveyId: Id<'survey'>
  surveyedOn: CalendarDate
  /** One of the two is there: the wall's measures, or lines of probe holes. */
  tape: TapeMeasures | null
  probed: ProbedSand | null
  /** The level-volume table that the group accepted. */
  table: WrittenTable | null
  /** Figures that nobody knew when it was described. */
  unmeasured: readonly UnmeasuredSand[]
}

type Sand = Pick<WeirSurvey, 'crestLevelM' | 'crestHeightM' | 'tape' | 'probed' | 'table'> &
  Partial<Pick<WeirSurvey, 'unmeasured'>>

/** The sand as the domain reckons with it: the accepted table, else the curve of the survey. */
export function bodyOf({ table, ...sand }: Sand): SandBody {
  const body = geometryOf(sand)
  return table ? withLevelVolumeTable({ body, rows: table.rows, grade: table.grade }) : body
}

function geometryOf({ crestLevelM, crestHeightM, tape, probed, unmeasured = [] }: Omit<Sand, 'table'>): SandBody {
  if (probed) return surveyedSandBody({ ...probed, crestLevelM, layers: yieldingLayers(probed.layers) })
  if (!tape) throw new RangeError('a description without measures and without probes')
  const { sandType, ...measures } = tape
  const flattestBedSlope = unmeasured.includes('bed-slope') ? FLATTEST_BED : measures.bedSlope
  const specificYield = specificYieldOf(sandType)
  return wedgeSandBody({ ...measures, flattestBedSlope, crestLevelM, crestHeightM, specificYield })
}

/** Bed at the wall, mouth of the off-take and mark of the well, above the group's datum. */
export function levelsOf(survey: SandLevels): { bedLevelM: number; offTakeLevelM: number; markLevelM: number } {
  const bedLevelM = survey.crestLevelM - survey.crestHeightM
  return {
    bedLevelM,
    offTakeLevelM: bedLevelM + survey.offTakeAboveBedM,
    markLevelM: survey.crestLevelM + survey.markAboveCrestM,
  }
}

/** How far off-take and mark may be from the figures that give the least water, where nobody measured them. */
export function spanOfUnmeasured(survey: WeirSurvey) {
  const { unmeasured, markAboveCrestM } = survey
  return {
    ...(unmeasured.includes('off-take') ? { lowestOffTakeM: levelsOf(survey).bedLevelM } : {}),
    ...(unmeasured.includes('mark') ? { markHigherM: HIGHEST_MARK_M - markAboveCrestM } : {}),
  }
}

export function deepestBedM(sections: ProbedSand['sections']): number {
  return Math.min(...sections.flatMap((section) => section.points.map((point) => point.bedLevelM)))
}

/** The probe holes of a description; 0 where the sand is known by the tape alone. */
export function probeCount({ probed }: WeirSurvey): number {
  return sum(probed?.sections ?? [], ({ points }) => points.length)
}
