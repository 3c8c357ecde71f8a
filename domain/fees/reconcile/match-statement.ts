import { type CalendarDate, daysBetween } from '../../calendar.ts'

interface StatementEntry {
  id: string
  on: CalendarDate
  /** Above zero came in, below zero went out. */
  amountMinor: number
}

interface StatementMatch {
  pairs: { statementId: string; bookId: string; daysApart: number }[]
  onlyOnStatement: string[]
  onlyInBook: string[]
}

/**
 * Pairs the lines of a bank's or wallet's statement with the lines of the book: the same amount to the last minor unit,
 * at most a few days apart, the nearest days first, each line once. Nothing is paired by a guess at its words.
 * Source: common practice, no source.
 */
export function matchStatement({
  statement,
  book,
  mostDaysApart = 5,
}: {
  statement: readonly StatementEntry[]
  book: readonly StatementEntry[]
  mostDaysApart?: number
}): StatementMatch {
  const candidates = statement.flatMap((line) =>
    book
      .filter((other) => other.amountMinor === line.amountMinor)
      .map((other) => ({
        statementId: line.id,
        bookId: other.id,
        daysApart: Math.abs(daysBetween(line.on, other.on)),
      }))
      .filter(({ daysApart }) => daysApart <= mostDaysApart),
  )
  const taken = { statement: new Set<string>(), book: new Set<string>() }
  const pairs: StatementMatch['pairs'] = []
  for (const pair of candidates.toSorted((a, b) => a.daysApart - b.daysApart)) {
    if (taken.statement.has(pair.statementId) || taken.book.has(pair.bookId)) continue
    taken.statement.add(pair.statementId)
    taken.book.add(pair.bookId)
    pairs.push(pair)
  }
  return {
    pairs,
    onlyOnStatement: statement.map(({ id }) => id).filter((id) => !taken.statement.has(id)),
    onlyInBook: book.map(({ id }) => id).filter((id) => !taken.book.has(id)),
  }
}
