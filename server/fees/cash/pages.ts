import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { secondName } from '../signed.ts'
import type { CashCount } from './count-store.ts'
import { countWords, decisionWords, laterWords, resultWords, unnamedWords } from './words.ts'

/** A count as pages show it: what was counted, what the book said then, and what came after; `shown` writes its amounts. */
export function countShown(desk: Desk, count: CashCount, shown = moneyWords(desk).money) {
  const { format, t } = desk
  const { id, differenceMinor, openMinor, later, decisions, approval } = count
  return {
    id,
    what: t(`cash.count.column.${count.column}`),
    date: format.date(count.countedOn),
    counted: shown(count.countedMinor),
    book: shown(count.bookMinor),
    result: resultWords(desk, count, shown),
    /** What the second is told before putting a name. */
    bookResult: countWords(desk, differenceMinor, shown),
    unnamed: differenceMinor === 0 ? null : unnamedWords(desk, count),
    openNow: openMinor === differenceMinor ? null : countWords(desk, openMinor, shown),
    isOpen: openMinor !== 0,
    later: later.map((line) => laterWords(desk, line, shown)),
    decided: decisions.map((decision) => decisionWords(desk, decision, shown)),
    people: t('cash.count.people', { first: count.writerName, second: count.secondName }),
    confirmed: secondName(desk, approval),
    writtenAt: format.instant(count.writtenAt),
  }
}
