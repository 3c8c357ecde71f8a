import { date, number, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const WEEKDAYS = ['1', '2', '3', '4', '5', '6', '7'] as const

export const groupFields = {
  name: text(),
  latitude: number({ min: -66, max: 66 }),
  longitude: number({ min: -180, max: 180 }),
  elevation: number({ min: -400, max: 5000 }),
  timeZone: text(),
  currency: text({ max: 3 }),
  firstWeekday: select(WEEKDAYS),
  seasonStart: date(),
  seasonEnd: date(),
}

export const GroupForm = defineForm('people.group', groupFields)
