import type { CalendarDate } from '../../../domain/calendar.ts'
import { leastMeasures, UNMEASURED_SAND, type UnmeasuredSand } from '../../../domain/water/sand/unmeasured.ts'
import { type Filled, type ReadForm, type Typed, withError } from '../../web/forms/forms.ts'
import type { SurveyMeasures, TapeMeasures, WeirSurvey } from './description.ts'
import type { SurveyForm } from './tape-forms.ts'

type Read<F extends { fields: Record<string, { schema: import('zod').z.ZodType }> }> = {
  [N in keyof F['fields']]: import('zod').z.output<F['fields'][N]['schema']>
}
type SurveyInput = Read<typeof SurveyForm>

const FIELDS = {
  'crest-level': 'crestLevel',
  'bed-slope': 'bedSlope',
  'off-take': 'offTakeAboveBed',
  mark: 'markAboveCrest',
} as const satisfies Record<UnmeasuredSand, keyof SurveyInput>

/**
 * The measures as the book keeps them; a slope is typed in per cent and kept as metres per metre. Beside a figure that nobody
 * knows stands the one that gives the least water, and that it is not known.
 */
export function surveyOfInput(input: SurveyInput): SurveyMeasures & { fromOn: CalendarDate } {
  const least = leastMeasures({ crestHeightM: input.crestHeight })
  return {
    fromOn: input.fromOn,
    crestLevelM: input.crestLevel ?? least.crestLevelM,
    crestHeightM: input.crestHeight,
    crestWidthM: input.crestWidth,
    bedSlope: input.bedSlope === null ? least.bedSlope : input.bedSlope / 100,
    valleyShape: input.valleyShape,
    sandType: input.sandType,
    offTakeAboveBedM: input.offTakeAboveBed ?? least.offTakeAboveBedM,
    markAboveCrestM: input.markAboveCrest ?? least.markAboveCrestM,
    lossCmPerDay: input.loss,
    unmeasured: UNMEASURED_SAND.filter((figure) => input[FIELDS[figure]] === null),
  }
}

/** The form as the last survey filled it, for a new one that changes a part. */
export function inputOfSurvey(survey: WeirSurvey): Typed {
  const typed = {
    crestLevel: String(survey.crestLevelM),
    crestHeight: String(survey.crestHeightM),
    ...(survey.tape && inputOfTape(survey.tape)),
    offTakeAboveBed: String(survey.offTakeAboveBedM),
    markAboveCrest: String(survey.markAboveCrestM),
    loss: survey.lossCmPerDay === null ? '' : String(survey.lossCmPerDay),
  }
  return { ...typed, ...Object.fromEntries(survey.unmeasured.map((figure) => [FIELDS[figure], ''])) }
}

function inputOfTape({ crestWidthM, bedSlope, valleyShape, sandType }: TapeMeasures): Typed {
  const slopePercent = Number((bedSlope * 100).toFixed(6))
  return { crestWidth: String(crestWidthM), bedSlope: String(slopePercent), valleyShape, sandType }
}

/** What is wrong with measures that are each possible but not together. */
export function surveyProblem(input: SurveyInput, form: Filled, today: string): ReadForm<never> | null {
  const { offTakeAboveBed, crestHeight, markAboveCrest, fromOn } = input
  if (offTakeAboveBed !== null && offTakeAboveBed >= crestHeight)
    return withError(form, 'offTakeAboveBed', 'water.weir.off-take-above-crest', { height: crestHeight })
  if (markAboveCrest !== null && markAboveCrest <= -crestHeight)
    return withError(form, 'markAboveCrest', 'water.weir.mark-below-bed', { height: crestHeight })
  if (fromOn > today) return withError(form, 'fromOn', 'water.weir.future')
  return null
}
