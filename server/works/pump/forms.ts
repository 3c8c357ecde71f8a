import { date, number, optional, select, text, time, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const PumpForm = defineForm('people.pump', {
  number: whole({ min: 1, max: 999 }),
  name: text(),
  weirId: select(),
  usualFlow: number({ min: 0.05, max: 500 }, 'flow of a pump or outlet, m3/h'),
  firstHour: whole({ min: 0, max: 23 }),
  lastHour: whole({ min: 1, max: 24 }),
  sunThreshold: number({ min: 0, max: 900 }, 'sun at which a pump starts, W/m2'),
  meterDigits: whole({ min: 3, max: 9 }),
  outletsAtOnce: whole({ min: 1, max: 50 }),
  usualDay: optional(number({ min: 0.1, max: 5000 }, 'day of a pump, m3')),
  fromOn: date(),
})

export const OutletForm = defineForm('people.outlet', {
  number: whole({ min: 1, max: 9999 }),
  name: text(),
  pumpId: select(),
  flow: number({ min: 0.02, max: 500 }, 'flow of a pump or outlet, m3/h'),
  testedOn: date(),
})

/** A pump's meter at dawn or dusk. */
export const PumpReadingForm = defineForm('abstractions.pump-reading', {
  pumpId: select(),
  moment: select(['dawn', 'dusk']),
  meter: number({ min: 0, max: 999_999_999 }),
  hourMeter: optional(number({ min: 0, max: 1_000_000 }, 'hours on a meter')),
  atTime: time(),
  onDate: date(),
  remark: optional(text({ max: 200 })),
})
