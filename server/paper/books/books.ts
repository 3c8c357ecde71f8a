import { pumpLogBook, slipBook } from '../../abstractions/paper/paper.ts'
import { weatherBook } from '../../crops/weather/paper.ts'
import { cashBook } from '../../fees/receipt/paper.ts'
import { requestBook } from '../../rotation/request/paper.ts'
import { levelBook } from '../../water/level/paper.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import type { PaperBook } from '../../web/pages/paper-book.ts'
import { flowTestBook } from '../../works/flow-test/paper.ts'
import { pumpReadingBook } from '../../works/pump/paper.ts'
import { tankRows, tankWords } from '../tank-day/day.ts'
import { TankDayForm } from '../tank-day/forms.ts'

const tankBook: PaperBook = {
  name: 'tanks',
  sheet: () => ({ form: TankDayForm, head: ['onDate', 'tankId'] }),
  words: tankWords,
  typing: { permission: 'abstraction.log', rows: tankRows },
}

/** Every book that the group keeps on paper, printed and typed in by the forms of the screens. */
export const PAPER_BOOKS: readonly PaperBook[] = [
  pumpLogBook,
  slipBook,
  pumpReadingBook,
  tankBook,
  levelBook,
  weatherBook,
  flowTestBook,
  requestBook,
  cashBook,
]

export function bookOr404(name: string): PaperBook {
  return found(PAPER_BOOKS.find((book) => book.name === name))
}

export function mayType({ may }: Desk, { typing }: PaperBook): boolean {
  return may(typing.permission)
}

export function maySeePages({ may }: Desk, { seenBy = 'abstractions.see' }: PaperBook): boolean {
  return may(seenBy)
}
