import { type CalendarDate, daysBetween } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { type Minor, minor, sumMinor } from '../../money/money.ts'
import { inOrder, type Transfer, type TransferKind, touches } from '../ledger.ts'

interface SettledCharge {
  transferId: Id<'transfer'>
  on: CalendarDate
  kind: TransferKind
  amountMinor: Minor
  paidMinor: Minor
  openMinor: Minor
}

interface Settlement {
  charges: SettledCharge[]
  /** Paid beyond all charges: kept for the next ones. */
  creditMinor: Minor
}

/**
 * Which charges of a member are paid, and how far. A credit that corrects a charge, or was meant for one, goes there first;
 * everything else pays the oldest open charge. A debit that corrects a payment (a void) takes that payment back, so the
 * charges it had paid are open again since their own day. Open charges less credit is the account's balance.
 */
export function settleOldestFirst({
  transfers,
  accountId,
  asOf,
}: {
  transfers: readonly Transfer[]
  accountId: Id<'account'>
  asOf?: CalendarDate
}): Settlement {
  const own = transfers.filter(
    (transfer) => touches(transfer, accountId) && (asOf === undefined || transfer.on <= asOf),
  )
  const { charges, payments } = withoutVoids(inOrder(own), accountId)
  const open = new Map(charges.map((charge) => [charge.id, charge.amountMinor]))
  let free = 0
  for (const payment of payments) {
    const chargeId = payment.settlesId ?? payment.correctsId
    free += chargeId ? payDown(open, chargeId, payment.amountMinor) : payment.amountMinor
  }
  for (const id of open.keys()) free = payDown(open, id, free)
  return { charges: charges.map((charge) => settled(charge, open.get(charge.id)!)), creditMinor: minor(free) }
}

/** A void cancels as much of its payment as is left of it; anything beyond that is a charge like any other. */
function withoutVoids(transfers: readonly Transfer[], accountId: Id<'account'>) {
  const payments = transfers.filter((transfer) => transfer.creditAccountId === accountId).map((own) => ({ ...own }))
  const paymentById = new Map(payments.map((payment) => [payment.id, payment]))
  const charges: Transfer[] = []
  for (const debit of transfers) {
    if (debit.debitAccountId !== accountId) continue
    const payment = paymentById.get(debit.correctsId ?? '')
    const cancelled = Math.min(payment?.amountMinor ?? 0, debit.amountMinor)
    if (payment) payment.amountMinor -= cancelled
    if (debit.amountMinor > cancelled) charges.push({ ...debit, amountMinor: debit.amountMinor - cancelled })
  }
  return { charges, payments }
}

/** Lowers an open charge and returns what is left of the payment. */
function payDown(open: Map<string, number>, chargeId: string, amountMinor: number): number {
  const owed = open.get(chargeId)
  if (owed === undefined) return amountMinor
  const paid = Math.min(owed, amountMinor)
  open.set(chargeId, owed - paid)
  return amountMinor - paid
}

function settled(debit: Transfer, openMinor: number): SettledCharge {
  return {
    transferId: debit.id,
    on: debit.on,
    kind: debit.kind,
    amountMinor: minor(debit.amountMinor),
    paidMinor: minor(debit.amountMinor - openMinor),
    openMinor: minor(openMinor),
  }
}

interface AgeBand {
  overDays: number
  toDays: number | null
  amountMinor: Minor
}

/**
 * Unpaid amounts by the age of their charge: up to 30, 90 and 365 days, and older.
 * Source of the steps: customary ageing of irrigation fees, after Malano and Burton (2001) (status: memory).
 */
export function arrearsAgeing({
  charges,
  asOf,
  stepsDays = [30, 90, 365],
}: {
  charges: readonly SettledCharge[]
  asOf: CalendarDate
  stepsDays?: readonly number[]
}): { totalMinor: Minor; bands: AgeBand[] } {
  const aged = charges.map(({ on, openMinor }) => ({ openMinor, ageDays: Math.max(0, daysBetween(on, asOf)) }))
  const bands = [0, ...stepsDays].map((overDays, at) => {
    const toDays = stepsDays[at] ?? null
    const held = aged.filter(
      ({ ageDays }) => (at === 0 || ageDays > overDays) && (toDays === null || ageDays <= toDays),
    )
    return { overDays, toDays, amountMinor: sumMinor(held.map((debit) => debit.openMinor)) }
  })
  return { totalMinor: sumMinor(bands.map((band) => band.amountMinor)), bands }
}
