import { registerOnPaper } from '../../book/register/paper.ts'
import { flowTestRegister } from './register.ts'

/** The flow tests of the outlets, on paper. */
export const flowTestBook = registerOnPaper(flowTestRegister, {
  name: 'flow-tests',
  head: ['onDate', 'outletId', 'containerLitres'],
})
