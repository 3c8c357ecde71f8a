import { askedFields } from '../../book/asked/fields.ts'
import { date, optional, seldom, select, text, tick, time, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { DAYS_IN_WEEK } from '../day-in-week.ts'
import { volumeField } from '../typed-volume.ts'

export const RequestForm = defineForm('rotation.request', {
  plotId: select(),
  weekStartOn: select(),
  volume: optional(volumeField()),
  askedIn: optional(select()),
  outletId: optional(select()),
  wishedDay: seldom(select(DAYS_IN_WEEK)),
  wishedFrom: seldom(time()),
  wishedTo: seldom(time()),
  cannotDay: seldom(select(DAYS_IN_WEEK)),
  cannotFrom: seldom(time()),
  cannotTo: seldom(time()),
  everyWeek: tick(),
  urgent: seldom(text({ max: 80 })),
  ...askedFields,
})

export const UrgentQuotaForm = defineForm('rotation.urgent-quota', {
  fromOn: date(),
  perMonth: whole({ min: 0, max: 31 }),
})
