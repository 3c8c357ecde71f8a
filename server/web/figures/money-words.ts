import { formatAmount, formatMoney, moneyText } from '../../../domain/money/money.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Locale } from './locale.ts'

export type MoneyWords = ReturnType<typeof moneyWords>

/** Amounts in the group's currency, as pages and lists write them; views get them ready. */
export function moneyWords({ group, locale }: { group: Group | null; locale: Locale }) {
  if (!group) throw new RangeError('an empty book has no currency')
  const { currency } = group
  const money = (amountMinor: number) => formatMoney({ amountMinor, currency, locale: locale.figures })
  const inRow = (amountMinor: number) => formatAmount({ amountMinor, currency, locale: locale.figures })
  return {
    currency,
    /** In a sentence, and wherever an amount stands by itself. */
    money,
    /** In the rows of a table or list, which says once that its amounts are in the currency (`it.inCurrency` of every page). */
    inRow,
    /** Empty where nothing moved, so that a column of figures stays readable. */
    inRowOrNothing: (amountMinor: number) => (amountMinor === 0 ? '' : inRow(amountMinor)),
    /** What a member owes, in a sentence without blame; below zero it was paid ahead. */
    balance: (amountMinor: number) => {
      if (amountMinor === 0) return locale.t('money.nothing-to-pay')
      const amount = money(Math.abs(amountMinor))
      return amountMinor > 0 ? locale.t('money.to-pay', { amount }) : locale.t('money.paid-ahead', { amount })
    },
    /** The running balance of a statement: short, with a word where it is paid ahead. */
    balanceInRow: (amountMinor: number) =>
      amountMinor < 0 ? locale.t('money.ahead-short', { amount: inRow(-amountMinor) }) : inRow(amountMinor),
    /** Plain digits for a form field. */
    typed: (amountMinor: number) => moneyText({ amountMinor, currency }),
    /** A number cell of a CSV; a decimal of so few digits survives the way through a number unchanged. */
    cell: (amountMinor: number) => Number(moneyText({ amountMinor, currency })),
  }
}
