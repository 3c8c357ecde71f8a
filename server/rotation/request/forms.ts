import { ASKED_IN } from '../../../domain/rotation/asked.ts'
import { date, number, optional, select, text, tick, time, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const WEEKDAYS = ['1', '2', '3', '4', '5', '6', '7'] as const

export const RequestForm = defineForm('rotation.request', {
  plotId: select(),
  weekStartOn: select(),
  volume: optional(number({ min: 0.01, max: 500_000 })),
  askedIn: optional(select(ASKED_IN)),
  outletId: optional(select()),
  wishedDay: optional(select(WEEKDAYS)),
  wishedFrom: optional(time()),
  wishedTo: optional(time()),
  cannotDay: optional(select(WEEKDAYS)),
  cannotFrom: optional(time()),
  cannotTo: optional(time()),
  everyWeek: tick(),
  urgent: optional(text({ max: 80 })),
})

export const UrgentQuotaForm = defineForm('rotation.urgent-quota', {
  fromOn: date(),
  perMonth: whole({ min: 0, max: 31 }),
})
