import { date, select, tick } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const SKIES = ['clear', 'half', 'dull'] as const

export const MountForm = defineForm('pump-flow.mount', {
  mount: select(['fixed', 'tracking', 'stuck']),
  fromOn: date(),
})

export const PumpDayForm = defineForm('pump-flow.pump-day', {
  onDate: date(),
  sky: select(SKIES),
  wholeDay: tick(),
})

/** The sky of each day of a week. */
export function skyForm(days: readonly string[]) {
  return defineForm('pump-flow.sky', Object.fromEntries(days.map((day) => [day, select(SKIES)])))
}
