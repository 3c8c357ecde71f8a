import { registerOnPaper } from '../../book/register/paper.ts'
import { pumpReadingRegister } from './reading-register.ts'

/** The meters of the pumps at dawn and dusk, on paper. */
export const pumpReadingBook = registerOnPaper(pumpReadingRegister, {
  name: 'pump-readings',
  head: ['onDate', 'pumpId'],
  boxes: { meter: 6 },
})
