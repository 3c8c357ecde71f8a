import { someOf } from '../../web/forms/forms.ts'
import { AS_TYPED, type ManyList, numberedRows } from '../../web/pages/many.ts'
import { listWeirs } from '../weir/store.ts'
import { addWeir } from './description-store.ts'
import { surveyOfInput, surveyProblem } from './survey-input.ts'
import { firstDay, WeirForm } from './tape-forms.ts'

const WeirLines = someOf(WeirForm, [
  'number',
  'name',
  'distance',
  'crestHeight',
  'crestWidth',
  'bedSlope',
  'crestLevel',
  'offTakeAboveBed',
  'markAboveCrest',
  'valleyShape',
  'sandType',
])

/** Weirs as the set-up sheet has them, each with its sand by the tape. */
export const weirList: ManyList = {
  name: 'weirs',
  permission: 'water.describe',
  form: WeirLines,
  rows: async (desk) => {
    const fromOn = firstDay(desk)
    return numberedRows({
      form: WeirLines,
      known: await listWeirs(desk.db),
      check: (data, form) => surveyProblem({ ...data, loss: null, fromOn }, form, desk.today),
      make: AS_TYPED,
      write: (pen, { number, name, distance, ...measures }) =>
        addWeir(pen, { number, name, distanceM: distance, ...surveyOfInput({ ...measures, loss: null, fromOn }) }),
    })
  },
}
