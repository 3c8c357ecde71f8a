import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { AccountLine } from './lines.ts'

export function statementLineShown(desk: Desk, line: AccountLine) {
  const words = moneyWords(desk)
  const open = line.openMinor
  return {
    date: desk.format.date(line.transfer.on),
    what: line.what,
    href: line.href,
    workingHref: line.workingHref,
    estimated: line.estimated,
    charged: words.inRowOrNothing(line.chargedMinor),
    paid: words.inRowOrNothing(line.paidMinor),
    balance: words.balanceInRow(line.balanceMinor),
    open: open === null ? '' : open === 0 ? desk.t('fees.statement.settled') : words.inRow(open),
  }
}
