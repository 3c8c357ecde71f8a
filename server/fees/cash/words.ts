import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** “XOF 180 short”, “XOF 20 over”, or that the coins and the book agree. */
export function countWords(desk: Desk, differenceMinor: number): string {
  const { t } = desk
  if (differenceMinor === 0) return t('money.count.agrees')
  const amount = moneyWords(desk).money(Math.abs(differenceMinor))
  return t(differenceMinor < 0 ? 'money.count.short' : 'money.count.over', { amount })
}
