import { MEASURE_KINDS } from '../../../domain/people/measure.ts'
import { date, number, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const MeasureForm = defineForm('measure.new', {
  kind: select(MEASURE_KINDS),
  name: text({ max: 24 }),
  size: number({ min: 1, max: 100_000 }),
  fromOn: date(),
})

export const MeasureWithdrawalForm = defineForm('measure.withdrawal', { reason: text({ max: 160 }) })

export const CountedInForm = defineForm('measure.counted', { measure: select() })
