import type { Selectable } from 'kysely'
import { type SandBody, type Sediment, specificYieldOf, wedgeSandBody } from '../../domain/water/index.ts'
import type { Database } from '../database/connection.ts'
import { appendEntry, freshId, type Pen } from '../database/entries.ts'
import type { FactTables } from '../database/schema.ts'
import { inForce, standing } from '../database/standing.ts'

export interface Weir {
  id: string
  number: number
  name: string
  /** Metres along the stream from the uppermost point that the group measures from. */
  distanceM: number
}

/** The valley shapes that a form offers; the domain knows more. */
export const WEIR_SHAPES = ['rectangle', 'parabola', 'triangle'] as const

/** One dated description of a weir's sand, from a tape alone. Levels are metres above the group's own datum. */
export interface SurveyMeasures {
  crestLevelM: number
  /** Depth of the sand at the wall, bed to crest. */
  crestHeightM: number
  crestWidthM: number
  /** Fall of the bed along the stream, metres per metre. */
  bedSlope: number
  valleyShape: (typeof WEIR_SHAPES)[number]
  sandType: Sediment
  offTakeAboveBedM: number
  /** Below zero when the mark is under the crest. */
  markAboveCrestM: number
  /** Fall of the level in a day without pumping; null when nobody has measured it. */
  lossCmPerDay: number | null
}

export interface WeirSurvey extends SurveyMeasures {
  entryId: string
  seq: number
  weirId: string
  fromOn: string
}

/** Weirs from the head of the stream down. */
export async function listWeirs(db: Database): Promise<Weir[]> {
  return db
    .selectFrom('weir')
    .select(['entry_id as id', 'number', 'name', 'distance_m as distanceM'])
    .where(standing('weir'))
    .orderBy('distance_m')
    .orderBy('number')
    .execute()
}

/** Every standing survey, of one weir or of all, oldest first; on the same day the later written comes last. */
export async function listSurveys(db: Database, weirId?: string): Promise<WeirSurvey[]> {
  const rows = await db
    .selectFrom('weir_survey')
    .innerJoin('entry', 'entry.id', 'weir_survey.entry_id')
    .selectAll('weir_survey')
    .select('entry.seq')
    .where(standing('weir_survey'))
    .$if(weirId !== undefined, (query) => query.where('weir_id', '=', weirId!))
    .orderBy('from_on')
    .orderBy('entry.seq')
    .execute()
  return rows.map(surveyOf)
}

/** The survey in force on a day, by weir; a weir whose sand was described only later is not there. */
export async function surveysOn(db: Database, on: string): Promise<Map<string, WeirSurvey>> {
  const found = new Map<string, WeirSurvey>()
  for (const survey of await listSurveys(db)) if (survey.fromOn <= on) found.set(survey.weirId, survey)
  return found
}

/** Of the surveys of one weir, the one in force on a day. */
export function surveyInForce(surveys: readonly WeirSurvey[], weirId: string, on: string): WeirSurvey | null {
  const own = surveys.filter((survey) => survey.weirId === weirId)
  return (
    inForce(
      own.map((survey) => ({ ...survey, from_on: survey.fromOn })),
      on,
    ) ?? null
  )
}

/** The sand as the domain reckons with it. */
export function bodyOf(survey: SurveyMeasures): SandBody {
  const { crestHeightM, crestWidthM, bedSlope, valleyShape, crestLevelM, sandType } = survey
  return wedgeSandBody({
    crestHeightM,
    crestWidthM,
    bedSlope,
    valleyShape,
    crestLevelM,
    specificYield: specificYieldOf(sandType),
  })
}

/** Bed at the wall, mouth of the off-take and mark of the well, above the group's datum. */
export function levelsOf(survey: SurveyMeasures): { bedLevelM: number; offTakeLevelM: number; markLevelM: number } {
  const bedLevelM = survey.crestLevelM - survey.crestHeightM
  return {
    bedLevelM,
    offTakeLevelM: bedLevelM + survey.offTakeAboveBedM,
    markLevelM: survey.crestLevelM + survey.markAboveCrestM,
  }
}

export interface NewSurvey extends SurveyMeasures {
  weirId: string
  fromOn: string
}

export interface NewWeir extends Omit<NewSurvey, 'weirId'> {
  number: number
  name: string
  distanceM: number
}

/** Writes in a weir with the first description of its sand; gives back the weir's id. */
export async function addWeir(pen: Pen, weir: NewWeir): Promise<string> {
  const id = freshId(pen)
  const { number, name, distanceM } = weir
  await appendEntry(pen, { kind: 'weir' }, { weir: [{ number, name, distance_m: distanceM }] }, id)
  await addSurvey(pen, { ...weir, weirId: id })
  return id
}

export async function addSurvey(pen: Pen, survey: NewSurvey): Promise<string> {
  const row = {
    weir_id: survey.weirId,
    from_on: survey.fromOn,
    crest_level_m: survey.crestLevelM,
    crest_height_m: survey.crestHeightM,
    crest_width_m: survey.crestWidthM,
    bed_slope: survey.bedSlope,
    valley_shape: survey.valleyShape,
    sand_type: survey.sandType,
    off_take_above_bed_m: survey.offTakeAboveBedM,
    mark_above_crest_m: survey.markAboveCrestM,
    loss_cm_per_day: survey.lossCmPerDay,
  }
  return appendEntry(pen, { kind: 'weir-survey' }, { weir_survey: [row] })
}

function surveyOf(row: Selectable<FactTables['weir_survey']> & { seq: number }): WeirSurvey {
  return {
    entryId: row.entry_id,
    seq: row.seq,
    weirId: row.weir_id,
    fromOn: row.from_on,
    crestLevelM: row.crest_level_m,
    crestHeightM: row.crest_height_m,
    crestWidthM: row.crest_width_m,
    bedSlope: row.bed_slope,
    valleyShape: row.valley_shape as WeirSurvey['valleyShape'],
    sandType: row.sand_type as Sediment,
    offTakeAboveBedM: row.off_take_above_bed_m,
    markAboveCrestM: row.mark_above_crest_m,
    lossCmPerDay: row.loss_cm_per_day,
  }
}
