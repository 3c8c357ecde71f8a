import type { CalendarDate } from '../../../domain/calendar.ts'
import { type Filled, type ReadForm, type Typed, withError } from '../../web/forms/forms.ts'
import type { SurveyMeasures, TapeMeasures, WeirSurvey } from './description.ts'
import type { SurveyForm } from './tape-forms.ts'

type Read<F extends { fields: Record<string, { schema: import('zod').z.ZodType }> }> = {
  [N in keyof F['fields']]: import('zod').z.output<F['fields'][N]['schema']>
}
type SurveyInput = Read<typeof SurveyForm>

/** The measures as the book keeps them; a slope is typed in per cent and kept as metres per metre. */
export function surveyOfInput(input: SurveyInput): SurveyMeasures & { fromOn: CalendarDate } {
  return {
    fromOn: input.fromOn,
    crestLevelM: input.crestLevel,
    crestHeightM: input.crestHeight,
    crestWidthM: input.crestWidth,
    bedSlope: input.bedSlope / 100,
    valleyShape: input.valleyShape,
    sandType: input.sandType,
    offTakeAboveBedM: input.offTakeAboveBed,
    markAboveCrestM: input.markAboveCrest,
    lossCmPerDay: input.loss,
  }
}

/** The form as the last survey filled it, for a new one that changes a part. */
export function inputOfSurvey(survey: WeirSurvey): Typed {
  return {
    crestLevel: String(survey.crestLevelM),
    crestHeight: String(survey.crestHeightM),
    ...(survey.tape && inputOfTape(survey.tape)),
    offTakeAboveBed: String(survey.offTakeAboveBedM),
    markAboveCrest: String(survey.markAboveCrestM),
    loss: survey.lossCmPerDay === null ? '' : String(survey.lossCmPerDay),
  }
}

function inputOfTape({ crestWidthM, bedSlope, valleyShape, sandType }: TapeMeasures): Typed {
  const slopePercent = Number((bedSlope * 100).toFixed(6))
  return { crestWidth: String(crestWidthM), bedSlope: String(slopePercent), valleyShape, sandType }
}

/** What is wrong with measures that are each possible but not together. */
export function surveyProblem(input: SurveyInput, form: Filled, today: string): ReadForm<never> | null {
  const { offTakeAboveBed, crestHeight, markAboveCrest, fromOn } = input
  if (offTakeAboveBed >= crestHeight)
    return withError(form, 'offTakeAboveBed', 'water.weir.off-take-above-crest', { height: crestHeight })
  if (markAboveCrest <= -crestHeight)
    return withError(form, 'markAboveCrest', 'water.weir.mark-below-bed', { height: crestHeight })
  if (fromOn > today) return withError(form, 'fromOn', 'water.weir.future')
  return null
}
