import type { PaperBook } from '../../web/pages/paper-book.ts'
import { PumpLogForm, SlipForm } from '../draw/forms.ts'
import { unitOptions } from '../draw/pages.ts'
import { pumpLogRows } from './pump-log.ts'
import { plannedSlips, slipRows } from './slips.ts'

/** The wheels of a common water meter. Common practice, no source. */
const METER = { opening: 6, closing: 6 }

/** The pump log on paper: a line a draw. */
export const pumpLogBook: PaperBook = {
  name: 'pump-log',
  sheet: () => ({ form: PumpLogForm, head: ['onDate', 'place'], boxes: METER }),
  words: async (desk) => ({ unit: await unitOptions(desk) }),
  typing: { permission: 'abstraction.log', rows: pumpLogRows },
}

/** The slips that come back from the plots. */
export const slipBook: PaperBook = {
  name: 'slips',
  sheet: () => ({ form: SlipForm, head: ['onDate', 'place'], boxes: METER }),
  planned: { columns: ['onDate', 'place', 'plotId'], rows: plannedSlips },
  typing: { permission: 'abstraction.log', rows: slipRows },
}
