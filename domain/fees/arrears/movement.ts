import type { CalendarDate } from '../../calendar.ts'
import { minor } from '../../money/money.ts'
import type { Transfer } from '../ledger.ts'
import type { ArrearsMovement } from '../reconcile/types.ts'

type Heading = 'openingMinor' | 'chargesMinor' | 'finesMinor' | 'receiptsMinor' | 'reliefMinor'

const HEADING: Partial<Record<Transfer['kind'], Heading>> = {
  opening: 'openingMinor',
  charge: 'chargesMinor',
  fine: 'finesMinor',
  receipt: 'receiptsMinor',
  relief: 'reliefMinor',
}

/**
 * What all members together owed before a period, what was added and taken off by its kind, and what they owed after it.
 * A correction counts under the heading of what it corrects, whenever that was written. Receipts and relief are counted
 * as what they take off, so a payment taken back lowers the receipts.
 */
export function arrearsMovement({
  transfers,
  memberAccountIds,
  from,
  to,
}: {
  transfers: readonly Transfer[]
  memberAccountIds: ReadonlySet<string>
  from: CalendarDate
  to: CalendarDate
}): ArrearsMovement {
  const byId = new Map(transfers.map((transfer) => [transfer.id, transfer]))
  const sums = { openingMinor: 0, chargesMinor: 0, finesMinor: 0, receiptsMinor: 0, reliefMinor: 0, closingMinor: 0 }
  for (const transfer of transfers) {
    if (transfer.on > to) continue
    const owedMinor = addedToArrears(transfer, memberAccountIds)
    sums.closingMinor += owedMinor
    const heading = transfer.on < from ? 'openingMinor' : headingOf(transfer, byId)
    const takesOff = heading === 'receiptsMinor' || heading === 'reliefMinor'
    sums[heading] = minor(sums[heading] + (takesOff ? -owedMinor : owedMinor))
  }
  return sums
}

function addedToArrears({ debitAccountId, creditAccountId, amountMinor }: Transfer, members: ReadonlySet<string>) {
  return (members.has(debitAccountId) ? amountMinor : 0) - (members.has(creditAccountId) ? amountMinor : 0)
}

function headingOf(transfer: Transfer, byId: ReadonlyMap<string, Transfer>): Heading {
  let first = transfer
  for (let earlier = byId.get(first.correctsId ?? ''); earlier; earlier = byId.get(first.correctsId ?? '')) {
    first = earlier
  }
  return HEADING[first.kind] ?? 'chargesMinor'
}
