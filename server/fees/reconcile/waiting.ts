import { rollup } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Difference } from '../../../domain/fees/reconcile/difference.ts'
import type { WaitingCharge } from '../../../domain/fees/reconcile/types.ts'
import { minor } from '../../../domain/money/money.ts'
import { sum } from '../../../domain/sum.ts'
import type { Database } from '../../database/connection.ts'
import type { Reckoning } from '../charge/reckoning.ts'
import { dueFees } from '../fixed-fee/store.ts'
import type { WrittenTransfer } from '../ledger/transfer-store.ts'

interface Asked {
  from: CalendarDate
  to: CalendarDate
  today: CalendarDate
  reckoning: Reckoning
  transfers: readonly WrittenTransfer[]
}

/**
 * What waits to be posted for the days of a period and is in no delivery's own sum: turns not used, what has to be given
 * back, a delivery that moved to another member with nothing to gain or lose in all, and charges by month, season or share.
 */
export async function waitingCharges(db: Database, asked: Asked): Promise<WaitingCharge[]> {
  const { from, to, today } = asked
  const fees = await dueFees(db, { toOn: [to, today].toSorted()[0]! })
  const ofPeriod = fees.filter(({ line }) => line.on >= from)
  return [
    ...ofTurnsAndDraws(asked),
    ...ofPeriod.map(({ line }) => ({ code: 'fixed-fee-not-charged' as const, amountMinor: line.amountMinor })),
  ]
}

function ofTurnsAndDraws({ from, to, reckoning, transfers }: Asked): WaitingCharge[] {
  const within = (on: CalendarDate | undefined) => on !== undefined && on >= from && on <= to
  const chargedOn = new Map(transfers.map(({ id, on }) => [id, on]))
  const ofDraw = rollup(
    reckoning.due,
    (own) => sum(own, (one) => one.differenceMinor),
    ({ abstractionId }) => abstractionId,
  )
  return reckoning.due.flatMap(({ missed, draw, abstractionId, followsId, differenceMinor }): WaitingCharge[] => {
    const back = differenceMinor < 0
    const waits = (code: WaitingCharge['code']) => [{ code, amountMinor: Math.abs(differenceMinor) }]
    if (missed) {
      if (!within(missed.on)) return []
      return waits(back ? 'used-turn-not-given-back' : 'unused-turn-not-charged')
    }
    // A delivery that is struck out has no day any more; it belongs to the period in which it was charged.
    if (!draw) return within(chargedOn.get(followsId ?? '')) ? waits('struck-out-delivery-not-given-back') : []
    const moved = back && ofDraw.get(abstractionId) === 0
    return moved && within(draw.onDate) ? waits('delivery-charged-to-another') : []
  })
}

/** Many deliveries that wait for the same thing are one matter, not a page of them; the first few stay as doors. */
export function gatherSlips(differences: readonly Difference[]): Difference[] {
  const waiting = differences.filter(({ code }) => code === 'delivery-without-charge')
  if (waiting.length < 2) return [...differences]
  const gathered: Difference = {
    ...waiting[0]!,
    amountMinor: minor(sum(waiting, (one) => one.amountMinor ?? 0)),
    volumeM3: sum(waiting, (one) => one.volumeM3 ?? 0),
    values: { deliveries: waiting.length },
  }
  const rest = differences.filter(({ code }) => code !== 'delivery-without-charge')
  const at = differences.indexOf(waiting[0]!)
  return [...rest.slice(0, at), gathered, ...rest.slice(at)]
}
