import { area, date, number, seldom, select, text, time, unlessSaid, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const TANK_M2 = { min: 0.01, max: 10_000 }

export const TankForm = defineForm('abstractions.tank', {
  number: whole({ min: 1, max: 999 }),
  name: text(),
  pumpId: select(),
  area: unlessSaid(area(TANK_M2, 'area of a tank, m2')),
  height: number({ min: 0.05, max: 50 }, 'height of a tank, m'),
  fromOn: date(),
  holds: seldom(number({ min: 0.01, max: 10_000_000 })),
  holdsIn: seldom(select()),
})

/** The level of a tank at dawn or dusk. */
export const TankReadingForm = defineForm('abstractions.tank-reading', {
  tankId: select(),
  moment: select(['dawn', 'dusk']),
  level: number({ min: 0, max: 5000 }),
  atTime: time(),
  onDate: date(),
})
