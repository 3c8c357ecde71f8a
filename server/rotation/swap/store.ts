import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { nextTurnId } from '../published/amendment-store.ts'
import { turnRow } from '../published/turn-row.ts'

export const PAYERS = ['taker', 'holder'] as const
export type Payer = (typeof PAYERS)[number]

/** Two turns that change places, or one that is given away, as it was proposed. */
export interface Swap {
  id: string
  weekStartOn: string
  turnId: string
  /** Null for a gift. */
  otherTurnId: string | null
  toPlotId: string
  payer: Payer
  byName: string
  at: string
  consents: { plotId: string; personName: string; writerName: string; at: string }[]
}

export async function addSwap(
  pen: Pen,
  swap: Pick<Swap, 'weekStartOn' | 'turnId' | 'otherTurnId' | 'toPlotId' | 'payer'>,
): Promise<string> {
  const row = {
    week_start_on: swap.weekStartOn,
    turn_id: swap.turnId,
    other_turn_id: swap.otherTurnId,
    to_plot_id: swap.toPlotId,
    payer: swap.payer,
  }
  return appendEntry(pen, { kind: 'turn-swap' }, { turn_swap: [row] })
}

/** A holder's word that it is agreed; whoever writes it in for them is kept beside it. */
export async function addConsent(pen: Pen, consent: { swapId: string; plotId: string; personId: string }) {
  const row = { swap_id: consent.swapId, plot_id: consent.plotId, person_id: consent.personId }
  const forPersonId = consent.personId === pen.writtenBy ? null : consent.personId
  return appendEntry(pen, { kind: 'swap-consent', forPersonId }, { swap_consent: [row] })
}

export async function swapsSince(db: Database, weekStartOn: string): Promise<Swap[]> {
  const rows = await db
    .selectFrom('turn_swap')
    .innerJoin('entry', 'entry.id', 'turn_swap.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .selectAll('turn_swap')
    .select(['person.name as byName', 'entry.written_at as at'])
    .where('week_start_on', '>=', weekStartOn)
    .where(standing('turn_swap'))
    .orderBy('entry.seq')
    .execute()
  const consents = await db
    .selectFrom('swap_consent')
    .innerJoin('entry', 'entry.id', 'swap_consent.entry_id')
    .innerJoin('person', 'person.entry_id', 'swap_consent.person_id')
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .select(['swap_id', 'plot_id as plotId', 'person.name as personName'])
    .select(['writer.name as writerName', 'entry.written_at as at'])
    .where(standing('swap_consent'))
    .orderBy('entry.seq')
    .execute()
  return rows.map((row) => ({
    id: row.entry_id,
    weekStartOn: row.week_start_on,
    turnId: row.turn_id,
    otherTurnId: row.other_turn_id,
    toPlotId: row.to_plot_id,
    payer: row.payer as Payer,
    byName: row.byName,
    at: row.at,
    consents: consents.filter((one) => one.swap_id === row.entry_id).map(({ swap_id: _, ...one }) => one),
  }))
}

/** One turn of an agreed swap as a dated change: the old one off the list, the new one on it. */
export async function addSwapped(pen: Pen, swapped: SwappedTurn): Promise<void> {
  const { swapId, payerPlotId, weekStartOn, was, bookId, now, reason } = swapped
  const isGift = was.plotId !== now.plotId
  const place = { plot_id: now.plotId, outlet_id: now.outletId, on_date: now.on, start_minute: now.startMinute }
  const base = { week_start_on: weekStartOn, stage: 'published', volume_m3: now.volumeM3, ...place }
  if (isGift) {
    const gone = { plot_id: was.plotId, outlet_id: was.outletId, on_date: null, start_minute: null, volume_m3: null }
    const drop = { ...base, ...gone, kind: 'drop', turn_id: bookId, was_on: was.on }
    await appendEntry(pen, { kind: 'turn-amendment', reason }, { turn_change: [drop] })
  }
  const change = isGift
    ? { ...base, kind: 'add', turn_id: null, was_on: null }
    : { ...base, kind: 'move', turn_id: bookId, was_on: was.on }
  const id = await nextTurnId(pen, weekStartOn)
  const pays = { swap_id: swapId, turn_id: id, payer_plot_id: payerPlotId }
  const facts = { turn_change: [change], turn: [turnRow(id, now)], swapped_turn: [pays] }
  await appendEntry(pen, { kind: 'turn-amendment', reason }, facts)
}

interface SwappedTurn {
  swapId: string
  payerPlotId: string
  weekStartOn: string
  was: PlannedTurn
  bookId: string
  now: PlannedTurn
  reason: string
}

/** Who pays for a turn that came by a swap or a gift. */
export interface SwapPayer {
  plotId: string
  swapId: string
}

/**
 * The plot that was agreed to pay for a turn, by the id that a log entry carries (`abstraction.turn_id`). Where a swapped
 * turn was moved, cut or shared anew since, the agreement follows it; of several swaps the last one counts. Null where no
 * swap says anything: then the plot that takes the water pays.
 */
export async function payerOfTurn(db: Database, turnId: string): Promise<SwapPayer | null> {
  let id: string | null = turnId
  while (id !== null) {
    const step: PayerStep | undefined = await payerStep(db, id)
    if (step?.payerPlotId && step.swapId) return { plotId: step.payerPlotId, swapId: step.swapId }
    id = step?.beforeId ?? null
  }
  return null
}

interface PayerStep {
  payerPlotId: string | null
  swapId: string | null
  /** The turn that this one took the place of. */
  beforeId: string | null
}

function payerStep(db: Database, turnId: string): Promise<PayerStep | undefined> {
  return db
    .selectFrom('turn')
    .leftJoin('swapped_turn', 'swapped_turn.turn_id', 'turn.id')
    .leftJoin('turn_change', 'turn_change.entry_id', 'turn.entry_id')
    .select(['payer_plot_id as payerPlotId', 'swap_id as swapId', 'turn_change.turn_id as beforeId'])
    .where('turn.id', '=', turnId)
    .executeTakeFirst()
}
