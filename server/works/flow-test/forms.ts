import { date, number, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { SKIES } from './store.ts'

/** One timing of a bucket, in seconds. */
const seconds = () => number({ min: 0.1, max: 7200 })

export const BucketTestForm = defineForm('abstractions.flow-test', {
  outletId: select(),
  containerLitres: number({ min: 0.1, max: 5000 }),
  seconds1: seconds(),
  seconds2: optional(seconds()),
  seconds3: optional(seconds()),
  seconds4: optional(seconds()),
  pumpState: select(SKIES),
  onDate: date(),
  remark: optional(text({ max: 200 })),
})

/** A flow that was found some other way than by bucket and watch. */
export const FlowTestForm = defineForm('people.outlet', {
  flow: number({ min: 0.02, max: 500 }),
  testedOn: date(),
})
