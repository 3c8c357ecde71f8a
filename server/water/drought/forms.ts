import type { Id } from '../../../domain/id.ts'
import { PLOT_CLASSES } from '../../../domain/people/plot-class.ts'
import { minuteField } from '../../people/decision/state.ts'
import { date, number, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm, type Filled, type ReadForm, withError } from '../../web/forms/forms.ts'
import type { NewStage, Stage } from './store.ts'

const part = () => number({ min: 0, max: 100 })

const stageFields = {
  severity: whole({ min: 1, max: 9 }),
  name: text({ max: 60 }),
  words: text({ max: 300 }),
  weirId: select(),
  belowLevel: optional(number({ min: -500, max: 9000 })),
  belowCoverDays: optional(number({ min: 1, max: 365 })),
  nursery: part(),
  perennials: part(),
  food: part(),
  market: part(),
  late: part(),
  endCondition: text({ max: 300 }),
}

export const StageForm = defineForm('stream.stage', stageFields)
export const StageCorrectionForm = defineForm('stream.stage', { ...stageFields, reason: text({ max: 300 }) })

export const DeclarationForm = defineForm('stream.declare', {
  stageId: select(),
  fromOn: date(),
  reason: text({ max: 300 }),
  minute: optional(minuteField()),
})

export const LiftForm = defineForm('stream.lift', { liftedOn: date(), reason: text({ max: 300 }) })

type TypedStage = Record<(typeof PLOT_CLASSES)[number], number> & {
  severity: number
  name: string
  words: string
  weirId: Id<'weir'>
  belowLevel: number | null
  belowCoverDays: number | null
  endCondition: string
}

type StageInput = { stage: NewStage } | { problem: ReadForm<never> }

/** One mark, not two, and a severity that no other stage has. */
export function stageOfInput(data: TypedStage, form: Filled, others: readonly Stage[]): StageInput {
  const { severity, name, words, weirId, belowLevel, belowCoverDays, endCondition } = data
  if (others.some((stage) => stage.severity === severity))
    return { problem: withError(form, 'severity', 'stream.stage.severity-taken', { severity }) }
  if ((belowLevel === null) === (belowCoverDays === null))
    return { problem: withError(form, 'belowLevel', 'stream.stage.one-mark') }
  const capByClass = Object.fromEntries(PLOT_CLASSES.map((each) => [each, data[each] / 100]))
  const mark = { weirId, belowLevelM: belowLevel, belowCoverDays }
  return { stage: { severity, name, words, ...mark, endCondition, capByClass } }
}

/** A stage as it was typed, for changing it. */
export function inputOfStage(stage: Stage): Record<string, string> {
  const caps = PLOT_CLASSES.map((each) => [each, String(Math.round((stage.capByClass[each] ?? 1) * 1000) / 10)])
  return {
    severity: String(stage.severity),
    name: stage.name,
    words: stage.words,
    weirId: stage.weirId,
    belowLevel: stage.belowLevelM === null ? '' : String(stage.belowLevelM),
    belowCoverDays: stage.belowCoverDays === null ? '' : String(stage.belowCoverDays),
    ...(Object.fromEntries(caps) as Record<string, string>),
    endCondition: stage.endCondition,
  }
}
