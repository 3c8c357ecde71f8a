import { date, number, optional, select, text } from '../web/fields.ts'
import { defineForm } from '../web/forms.ts'

export const SharingRuleForm = defineForm('rotation.rule', {
  equalWeight: number({ min: 0, max: 100 }),
  areaWeight: number({ min: 0, max: 100 }),
  shareWeight: number({ min: 0, max: 100 }),
  admission: select(['request', 'crop']),
  fromOn: date(),
})

export const RequestForm = defineForm('rotation.request', {
  plotId: select(),
  weekStartOn: select(),
  volume: optional(number({ min: 0.02, max: 10_000 })),
})

export const NoTurnDayForm = defineForm('rotation.no-turn-day', {
  onDate: date(),
  pumpId: optional(select()),
  words: text({ max: 60 }),
})
