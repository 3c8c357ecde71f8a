import { COUNTED_LAND, landM2 } from '../../people/measure/land-state.ts'
import { date, number, optional, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const TRANCHES = ['1', '2'] as const

export const DeclarationForm = defineForm('planting.declare', {
  plotId: select(),
  cropKey: select(),
  area: landM2(),
  sownOn: date(),
  tranche: select(TRANCHES),
  ...COUNTED_LAND,
})

const side = () => number({ min: 0.5, max: 2000 }, 'side of a plot, m')

export const TapingForm = defineForm('planting.taping', {
  plotId: select(),
  tapedOn: date(),
  sideA: side(),
  sideB: side(),
  sideC: side(),
  sideD: side(),
  diagonal: optional(side()),
})

export const SecondLookForm = defineForm('planting.second-look', { lookOn: date() })
