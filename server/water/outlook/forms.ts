import { DATE_ORDERS } from '../../web/figures/csv.ts'
import { date, lines, number, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const OutlookSettingForm = defineForm('outlook.setting', {
  seasonsOfTen: number({ min: 5, max: 9.9 }),
  seed: whole({ min: 1, max: 1_000_000 }),
  fromOn: date(),
})

export const RainRecordForm = defineForm('outlook.record', {
  source: text({ max: 200 }),
  order: select(DATE_ORDERS),
  rain: lines({ max: 1_500_000 }),
})

export const StrikeForm = defineForm('outlook.strike', { reason: text({ max: 300 }) })
