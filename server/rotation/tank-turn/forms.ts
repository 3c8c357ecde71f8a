import { COUNTED_IN } from '../../people/measure/volume-state.ts'
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
  kept: number({ min: 0, max: 10_000_000 }),
  keptIn: { ...COUNTED_IN, isSeldom: false },
  servesStand: tick(),
  fromOn: date(),
})
