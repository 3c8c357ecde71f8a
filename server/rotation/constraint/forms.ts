import { MINUTES_PER_DAY } from '../../../domain/units.ts'
import { askedFields } from '../../book/asked/fields.ts'
import { date, optional, select, text, time, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { DAYS_IN_WEEK } from '../day-in-week.ts'
import { CUSTOM_CAUSES } from './custom-store.ts'

export const HoursForm = defineForm('constraint.hours', {
  personId: select(),
  weekday: optional(select(DAYS_IN_WEEK)),
  fromTime: optional(time()),
  toTime: optional(time()),
  words: text({ max: 60 }),
  fromOn: date(),
  untilOn: optional(date()),
  ...askedFields,
})

export const CustomForm = defineForm('constraint.custom', {
  cause: select(CUSTOM_CAUSES),
  personId: optional(select()),
  day: optional(select(DAYS_IN_WEEK)),
  fromTime: optional(time()),
  toTime: optional(time()),
  words: text({ max: 60 }),
  fromOn: date(),
  untilOn: optional(date()),
})

export const LinePositionForm = defineForm('constraint.line-position', {
  plotId: select(),
  position: whole({ min: 1, max: 1000 }),
  fromOn: date(),
})

export const FillingForm = defineForm('constraint.filling', {
  outletId: select(),
  minutes: whole({ min: 0, max: 240 }),
  fromOn: date(),
})

/** Nothing for the longest sets none. */
export const LengthForm = defineForm('constraint.length', {
  shortestMinutes: whole({ min: 5, max: 240 }),
  longestMinutes: optional(whole({ min: 5, max: MINUTES_PER_DAY })),
  changeoverMinutes: whole({ min: 0, max: 60 }),
  fromOn: date(),
})

export const PairForm = defineForm('constraint.pair', {
  outletA: select(),
  outletB: select(),
  together: select(['no', 'yes']),
  fromOn: date(),
})

export const NoTurnDayForm = defineForm('rotation.no-turn-day', {
  onDate: date(),
  pumpId: optional(select()),
  words: text({ max: 60 }),
})
