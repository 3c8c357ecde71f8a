import { date, degrees, number, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const WEEKDAYS = ['1', '2', '3', '4', '5', '6', '7'] as const

export const groupFields = {
  name: text(),
  latitude: degrees('NS', 66),
  longitude: degrees('EW', 180),
  elevation: number({ min: -400, max: 5000 }),
  timeZone: select(),
  currency: select(),
  firstWeekday: select(WEEKDAYS),
  seasonStart: date(),
  seasonEnd: date(),
}

export const GroupForm = defineForm('people.group', groupFields)
