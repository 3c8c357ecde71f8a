import { date, number, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { SKIES } from './store.ts'

/** From one timing of a bucket to the longest, in seconds. */
const SECONDS = { min: 0.1, max: 7200 }

export const BucketTestForm = defineForm('abstractions.flow-test', {
  outletId: select(),
  containerLitres: number({ min: 0.1, max: 5000 }, 'container, litres'),
  seconds1: number(SECONDS, 'filling of a container, seconds'),
  seconds2: optional(number(SECONDS, 'filling of a container, seconds')),
  seconds3: optional(number(SECONDS, 'filling of a container, seconds')),
  seconds4: optional(number(SECONDS, 'filling of a container, seconds')),
  pumpState: select(SKIES),
  onDate: date(),
  remark: optional(text({ max: 200 })),
})

/** A flow that was found some other way than by bucket and watch. */
export const FlowTestForm = defineForm('people.outlet', {
  flow: number({ min: 0.02, max: 500 }, 'flow of a pump or outlet, m3/h'),
  testedOn: date(),
})
