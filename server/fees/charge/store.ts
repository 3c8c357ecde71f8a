import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { Pen } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount } from '../ledger/account-store.ts'
import { addTransfer, type ChargeLineRow } from '../ledger/transfer-store.ts'
import type { DueCharge } from './due.ts'
import { type Reckoning, reckonCharges } from './reckoning.ts'
import { seenMark } from './seen.ts'

export interface ChargeLine {
  tariffId: Id<'tariff'>
  kind: string
  quantity: number
  unit: string
  amountMinor: number
  estimated: boolean
}

/**
 * Posts what is due and not yet charged up to a day, each as a transfer that names its draw or the turn that was not
 * used. It works the dues out again inside the transaction, so that nothing is charged twice. What was corrected after it
 * was charged gets a follow-up transfer; the one that was posted is never changed. Throws InputError `charges-changed` when
 * the lines are others than those of the mark that was seen.
 */
export async function postCharges(
  pen: Pen,
  { toOn, onDate, seen }: { toOn: CalendarDate; onDate: CalendarDate; seen?: string },
): Promise<Reckoning> {
  const reckoning = await reckonCharges(pen.trx, { toOn })
  if (seen !== undefined && seenMark(reckoning) !== seen) throw new InputError('charges-changed')
  const income = await groupAccount(pen.trx, 'fee-income')
  for (const due of reckoning.due) await postCharge(pen, due, { income, onDate })
  return reckoning
}

async function postCharge(pen: Pen, due: DueCharge, { income, onDate }: { income: string; onDate: CalendarDate }) {
  const toPay = due.differenceMinor > 0
  const moved = {
    kind: due.followsId ? ('correction' as const) : ('charge' as const),
    debitAccountId: toPay ? due.accountId : income,
    creditAccountId: toPay ? income : due.accountId,
    amountMinor: Math.abs(due.differenceMinor),
    onDate,
    ...(due.abstractionId !== null && { abstractionId: due.abstractionId }),
  }
  const follows = due.followsId ? { correctsId: due.followsId, reason: due.reason } : {}
  const facts = {
    chargeLine: due.lines.map(chargeLineRow),
    missedTurn: due.missed ? [{ turnId: due.missed.turnId }] : [],
  }
  await addTransfer(pen, moved, { ...follows, forPersonId: due.personId }, facts)
}

function chargeLineRow(line: DueCharge['lines'][number]): ChargeLineRow {
  return {
    tariffId: line.tariffId,
    kind: line.kind,
    quantity: line.quantity,
    unit: line.unit,
    amountMinor: line.amountMinor,
    estimated: line.estimated ? 1 : 0,
  }
}

/** How a charge was reckoned when it was posted. */
export async function linesOfCharge(db: Database, transferId: Id<'transfer'>): Promise<ChargeLine[]> {
  const rows = await db.selectFrom('chargeLine').selectAll().where('entryId', '=', transferId).execute()
  return rows.map((row) => ({
    tariffId: row.tariffId,
    kind: row.kind,
    quantity: row.quantity,
    unit: row.unit,
    amountMinor: row.amountMinor,
    estimated: row.estimated === 1,
  }))
}
