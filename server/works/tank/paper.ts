import { registerOnPaper } from '../../book/register/paper.ts'
import { tankReadingRegister } from './registers.ts'

/** The level of a tank at dawn or dusk, a row a tank. */
export const tankReadingBook = registerOnPaper(tankReadingRegister, {
  name: 'tank-readings',
  head: ['onDate', 'moment'],
})
