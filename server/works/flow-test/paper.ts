import { appendEntry } from '../../book/entries.ts'
import { registerOnPaper } from '../../book/register/paper.ts'
import { optional } from '../../web/forms/fields.ts'
import { defineForm, withError } from '../../web/forms/forms.ts'
import { AS_TYPED, type ManyList, numberedRows } from '../../web/pages/many.ts'
import { OutletForm } from '../pump/forms.ts'
import { addOutlet, listOutlets, listPumps } from '../pump/store.ts'
import { BucketTestForm } from './forms.ts'
import { flowTestRegister } from './register.ts'
import { setUpTestFacts } from './store.ts'

/** The flow tests of the outlets, on paper. */
export const flowTestBook = registerOnPaper(flowTestRegister, {
  name: 'flow-tests',
  head: ['onDate', 'outletId', 'containerLitres'],
})

const OutletLines = defineForm('people.outlet', {
  number: OutletForm.fields.number,
  name: OutletForm.fields.name,
  pumpId: OutletForm.fields.pumpId,
  containerLitres: optional({
    ...BucketTestForm.fields.containerLitres,
    words: 'abstractions.flow-test.containerLitres',
  }),
  seconds1: optional({ ...BucketTestForm.fields.seconds1, words: 'abstractions.flow-test.seconds1' }),
})

/** Outlets as the set-up sheet has them, each with its first bucket; one that nobody tested has no flow yet. */
export const outletList: ManyList = {
  name: 'outlets',
  permission: 'works.describe',
  form: OutletLines,
  marks: async ({ db, today }) => ({
    pumpId: (await listPumps(db, today)).map(({ id, number, name }) => ({
      value: id,
      mark: String(number),
      label: name,
    })),
  }),
  rows: async ({ db, today }) =>
    numberedRows({
      form: OutletLines,
      known: await listOutlets(db, today),
      check: ({ containerLitres, seconds1 }, form) => {
        const missing = containerLitres === null ? 'containerLitres' : 'seconds1'
        const isHalf = (containerLitres === null) !== (seconds1 === null)
        return isHalf ? withError(form, missing, 'many.half-a-test') : null
      },
      make: AS_TYPED,
      write: async (pen, { number, name, pumpId, containerLitres, seconds1 }) => {
        const outletId = await addOutlet(pen, { number, name, pumpId })
        if (containerLitres !== null && seconds1 !== null) {
          const test = { outletId, testedOn: today, containerLitres, seconds: seconds1 }
          await appendEntry(pen, { kind: 'flow-test' }, setUpTestFacts(test))
        }
        return outletId
      },
    }),
}
