import { date, number, optional, select, tick, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const TankOutletForm = defineForm('tank-turn.outlet', {
  outletId: select(),
  tankId: optional(select()),
  fromOn: date(),
})

export const TankUseForm = defineForm('tank-turn.use', {
  tankId: select(),
  fromTime: optional(time()),
  toTime: optional(time()),
  kept: number({ min: 0, max: 100_000 }, 'water in a tank, m3'),
  servesStand: tick(),
  fromOn: date(),
})
