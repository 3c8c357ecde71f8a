import { COUNTED_LAND, landM2 } from '../../people/measure/land-state.ts'
import { date, optional, select, text, tick } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { OUTCOMES } from './store.ts'

const planFields = {
  plotId: select(),
  cropKey: select(),
  area: landM2(),
  sownOn: date(),
  ...COUNTED_LAND,
}

export const PlanForm = defineForm('crops.plan', planFields)

export const PlanCorrectionForm = defineForm('crops.plan', {
  ...planFields,
  struckOut: tick(),
  reason: text({ max: 200 }),
})

export const EndingForm = defineForm('crops.ending', {
  outcome: select(OUTCOMES),
  endedOn: date(),
  reason: optional(text({ max: 200 })),
})
