import { bucketFlow } from '../../../domain/works/bucket.ts'
import { type Register, trouble } from '../../book/register/register.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { listOutlets } from '../pump/store.ts'
import { BucketTestForm } from './forms.ts'
import { bucketTestFacts } from './store.ts'
import { nameForTest } from './unnamed-store.ts'

/** One flow test, on the screen or as a line of paper. */
export const flowTestRegister: Register<typeof BucketTestForm.fields> = {
  writtenAt: '/log/tests/bucket',
  kind: 'flow-test',
  title: 'abstractions.flow-tests.new',
  cautions: ['people.pump.caution-electric'],
  permission: 'abstraction.log',
  onField: 'onDate',
  back: '/log/tests',
  intro: ['abstractions.flow-tests.how', 'abstractions.flow-tests.name'],
  form: () => BucketTestForm,
  start: async ({ query }) => ({ outletId: query.outlet ?? '' }),
  options: async ({ db, today }) => ({ outletId: (await listOutlets(db, today)).map(numberedOption) }),
  facts: async (data, { db, today }) => {
    const { outletId, onDate, containerLitres, seconds1, seconds2, seconds3, seconds4, pumpState, remark } = data
    if (!(await listOutlets(db, today)).some((outlet) => outlet.id === outletId))
      return trouble('outletId', 'error.choose')
    const seconds = [seconds1, seconds2, seconds3, seconds4].filter((timing) => timing !== null)
    const { flowM3PerH } = bucketFlow({ containerLitres, seconds })
    return {
      ...bucketTestFacts({ outletId, testedOn: onDate, containerLitres, seconds, pumpState, remark }),
      ...(await nameForTest(db, { outletId, testedOn: onDate, flowM3PerH })),
    }
  },
}
