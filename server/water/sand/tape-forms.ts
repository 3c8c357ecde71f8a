import { SEDIMENT_YIELDS } from '../../../domain/water/data/specific-yield.ts'
import { date, number, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { WEIR_SHAPES } from './description.ts'

const surveyFields = {
  crestLevel: number({ min: -500, max: 9000 }),
  crestHeight: number({ min: 0.2, max: 15 }),
  crestWidth: number({ min: 0.5, max: 500 }),
  bedSlope: number({ min: 0.05, max: 30 }),
  valleyShape: select(WEIR_SHAPES),
  sandType: select(SEDIMENT_YIELDS.map(({ sediment }) => sediment)),
  offTakeAboveBed: number({ min: 0, max: 15 }),
  markAboveCrest: number({ min: -15, max: 10 }),
  loss: optional(number({ min: -5, max: 20 })),
  fromOn: date(),
}

export const WeirForm = defineForm('water.weir', {
  number: whole({ min: 1, max: 999 }),
  name: text(),
  distance: number({ min: 0, max: 200_000 }),
  ...surveyFields,
})

export const SurveyForm = defineForm('water.weir', surveyFields)
