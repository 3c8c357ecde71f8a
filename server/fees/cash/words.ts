import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { type CashCount, unnamed } from './count-store.ts'
import type { CountDecision } from './decision-store.ts'

/** “XOF 180 short”, “XOF 20 over”, or that the coins and the book agree; in a row of a table `shown` leaves the currency out. */
export function countWords(desk: Desk, differenceMinor: number, shown = moneyWords(desk).money): string {
  const { t } = desk
  if (differenceMinor === 0) return t('cash.count.agrees')
  const amount = shown(Math.abs(differenceMinor))
  return t(differenceMinor < 0 ? 'cash.count.short' : 'cash.count.over', { amount })
}

/** Whose name a count waits for, or that it was declined or withdrawn; null once two people stand under it. */
export function unnamedWords({ t }: Desk, count: CashCount): string | null {
  const why = unnamed(count)
  return why && t(`cash.count.${why}`, { name: count.secondName })
}

/** What a count found; one that is not the word of two people is not said to agree. */
export function resultWords(desk: Desk, count: CashCount, shown = moneyWords(desk).money): string {
  const words = count.differenceMinor === 0 ? unnamedWords(desk, count) : null
  return words ?? countWords(desk, count.differenceMinor, shown)
}

/** One decision about a count: what, by whom, and whether it has its names. */
export function decisionWords(desk: Desk, decision: CountDecision, shown = moneyWords(desk).money): string {
  const { t, format } = desk
  const { way, minute, words, writerName, writtenAt, names, withheld, transfer, amountMinor } = decision
  const state = way !== 'written-off' ? way : transfer ? 'written-off' : withheld ? 'not-written-off' : 'waits'
  return t(`cash.decision.line-${state}`, {
    minute: minute ?? '',
    words,
    by: writerName,
    at: format.instant(writtenAt),
    names: names.join(', '),
    amount: shown(Math.abs(amountMinor)),
  })
}

/** What a count found and what was decided, in sentences for the meeting; empty where the book then said and says the same. */
export function gapWords(desk: Desk, count: CashCount): string[] {
  const { t, format } = desk
  const { differenceMinor, openMinor, later, decisions, column, countedOn } = count
  const waits = unnamedWords(desk, count)
  if (differenceMinor === 0 && later.length === 0 && !waits) return []
  const gap = (result: string) =>
    t('cash.count.gap', { date: format.date(countedOn), result, column: t(`cash.count.column.${column}`) })
  const left = openMinor === differenceMinor ? null : openMinor === 0 ? 'nothing-left' : 'left'
  return [
    ...(waits ? [gap(waits)] : []),
    ...(waits && differenceMinor === 0 ? [] : [gap(countWords(desk, differenceMinor))]),
    ...later.map((line) => laterWords(desk, line)),
    ...decisions.map((decision) => decisionWords(desk, decision)),
    ...(differenceMinor !== 0 && decisions.length === 0 && openMinor !== 0 ? [t('cash.decision.none')] : []),
    ...(left ? [t(`cash.count.${left}`, { result: countWords(desk, openMinor) })] : []),
  ]
}

/** A line that was written after the count about a day before it. */
export function laterWords(
  desk: Desk,
  { kind, on, movedMinor, words, writerName, writtenAt }: CashCount['later'][number],
  shown = moneyWords(desk).money,
) {
  const { t, format } = desk
  return t(movedMinor < 0 ? 'cash.count.later-out' : 'cash.count.later-in', {
    kind: t(`fees.kind.${kind}`),
    on: format.date(on),
    amount: shown(Math.abs(movedMinor)),
    words: words ?? '–',
    by: writerName,
    at: format.instant(writtenAt),
  })
}
