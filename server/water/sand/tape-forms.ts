import { SEDIMENT_YIELDS } from '../../../domain/water/data/specific-yield.ts'
import { date, number, optional, orUnknown, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { WEIR_SHAPES } from './description.ts'

const surveyFields = {
  crestLevel: orUnknown(number({ min: -500, max: 9000 })),
  crestHeight: number({ min: 0.2, max: 15 }, 'height of a wall, m'),
  crestWidth: number({ min: 0.5, max: 500 }, 'width of a wall, m'),
  bedSlope: orUnknown(number({ min: 0.05, max: 30 }, 'slope of a bed, per cent')),
  valleyShape: select(WEIR_SHAPES),
  sandType: select(SEDIMENT_YIELDS.map(({ sediment }) => sediment)),
  offTakeAboveBed: orUnknown(number({ min: 0, max: 15 }, 'height beside a wall, m')),
  markAboveCrest: orUnknown(number({ min: -15, max: 10 }, 'height beside a wall, m')),
  loss: optional(number({ min: -5, max: 20 }, 'loss of the sand, cm a day')),
  fromOn: date(),
}

export const WeirForm = defineForm('water.weir', {
  number: whole({ min: 1, max: 999 }),
  name: text(),
  distance: number({ min: 0, max: 200_000 }, 'along the stream, m'),
  ...surveyFields,
})

export const SurveyForm = defineForm('water.weir', surveyFields)

/** The sand did not change while nobody wrote it down: readings of this season typed in later count from its start. */
export function firstDay({ group, today }: Pick<Desk, 'group' | 'today'>): string {
  return [group.seasonStartOn, today].sort()[0]!
}
