import { PLOT_CLASSES } from '../../../domain/people/plot-class.ts'
import { RULE_NAMES } from '../../../domain/rotation/rule/compare.ts'
import { date, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const HouseholdForm = defineForm('sharing-rule.household', {
  plotId: select(),
  persons: whole({ min: 0, max: 500 }, 'persons in a household'),
  fromOn: date(),
})

/** `usual` takes a written class back. */
export const CLASS_CHOICES = [...PLOT_CLASSES, 'usual'] as const

export const ClassForm = defineForm('sharing-rule.crop-class', {
  planId: select(),
  class: select(CLASS_CHOICES),
  fromOn: date(),
})

export const ChoiceForm = defineForm('sharing-rule.choice', {
  rule: select([...RULE_NAMES]),
  reason: text({ max: 300 }),
})
