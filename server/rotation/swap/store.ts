import { sql } from 'kysely'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { giveTurn, type SwapRefusal, swapTurns } from '../../../domain/rotation/swap.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { waitsForName } from '../../book/name-needed.ts'
import { asWritten, standing } from '../../book/standing.ts'
import { cropPlans, standsInWeek } from '../../crops/plan/store.ts'
import type { Database } from '../../database/connection.ts'
import { loggedM3 } from '../outcome/season.ts'
import { type StandingWeek, standingWeek } from '../outcome/standing-week.ts'
import { addAmendment } from '../published/amendment-store.ts'
import type { BookedTurn } from '../published/turn-store.ts'
import { type Consent, consentsWhere } from './consent-store.ts'

export const PAYERS = ['taker', 'holder'] as const
type Payer = (typeof PAYERS)[number]

/** Two turns that change places, or one that is given away, as it was proposed. */
export interface Swap {
  id: Id<'swap'>
  weekStartOn: CalendarDate
  turnId: Id<'turn'>
  /** Null for a gift. */
  otherTurnId: Id<'turn'> | null
  toPlotId: Id<'plot'>
  payer: Payer
  byName: string
  at: string
  consents: Consent[]
  /** Written in for somebody else by one who gains, or who wrote the other's word too: they do not count before a second name. */
  waiting: Consent[]
  /** Those of which another person said that they do not count, or that their writer withdrew: the swap ends with that. */
  declined: Consent[]
}

export async function addSwap(
  pen: Pen,
  swap: Pick<Swap, 'weekStartOn' | 'turnId' | 'otherTurnId' | 'toPlotId' | 'payer'>,
  asked: Pick<Facts, 'askedThrough'> = {},
): Promise<string> {
  const row = {
    weekStartOn: swap.weekStartOn,
    turnId: swap.turnId,
    otherTurnId: swap.otherTurnId,
    toPlotId: swap.toPlotId,
    payer: swap.payer,
  }
  return appendEntry(pen, { kind: 'turn-swap' }, { ...asked, turnSwap: [row] })
}

export function swapsSince(db: Database, weekStartOn: CalendarDate): Promise<readonly Swap[]> {
  return kept(db, 'swaps since', weekStartOn, () => readSwaps(db, weekStartOn))
}

async function readSwaps(db: Database, weekStartOn: CalendarDate): Promise<Swap[]> {
  const rows = await db
    .selectFrom('turnSwap')
    .innerJoin('entry', 'entry.id', 'turnSwap.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('turnSwap')
    .select(['person.name as byName', 'entry.writtenAt as at'])
    .where('weekStartOn', '>=', weekStartOn)
    .where(standing('turnSwap'))
    .orderBy(asWritten)
    .execute()
  if (rows.length === 0) return []
  const consents = await consentsWhere(db, standing('swapConsent'))
  const waiting = await consentsWhere(db, waitsForName('swapConsent'))
  const declined = await consentsWhere(db, sql`swap_consent.entry_id in (select subject_id from withheld)`)
  return rows.map((row) => ({
    id: row.entryId,
    weekStartOn: row.weekStartOn,
    turnId: row.turnId,
    otherTurnId: row.otherTurnId,
    toPlotId: row.toPlotId,
    payer: row.payer as Payer,
    byName: row.byName,
    at: row.at,
    consents: consents.get(row.entryId) ?? [],
    waiting: waiting.get(row.entryId) ?? [],
    declined: declined.get(row.entryId) ?? [],
  }))
}

/** One turn of an agreed swap as a dated change: the old one off the list, the new one on it. */
async function addSwapped(pen: Pen, swapped: SwappedTurn): Promise<void> {
  const { swapId, payerPlotId, weekStartOn, was, bookId, now, reason } = swapped
  const isGift = was.plotId !== now.plotId
  if (isGift) {
    const gone = { on: null, startMinute: null, volumeM3: null }
    const drop = { kind: 'drop' as const, plotId: was.plotId, outletId: was.outletId, wasOn: was.on, reason, ...gone }
    await addAmendment(pen, { weekStartOn, turnId: bookId, change: drop, turn: null })
  }
  const { plotId, outletId, on, startMinute, volumeM3 } = now
  const place = { plotId, outletId, on, startMinute, volumeM3, reason }
  const change = isGift
    ? { kind: 'add' as const, wasOn: null, ...place }
    : { kind: 'move' as const, wasOn: was.on, ...place }
  await addAmendment(
    pen,
    { weekStartOn, turnId: isGift ? null : bookId, change, turn: now },
    { facts: (turnId) => ({ swappedTurn: [{ swapId, turnId: turnId!, payerPlotId }] }) },
  )
}

interface SwappedTurn {
  swapId: Id<'swap'>
  payerPlotId: Id<'plot'>
  weekStartOn: CalendarDate
  was: PlannedTurn
  bookId: string
  now: PlannedTurn
  reason: string
}

/** Who pays for a turn that came by a swap or a gift. */
export interface SwapPayer {
  plotId: Id<'plot'>
  swapId: Id<'swap'>
}

/**
 * The plot that was agreed to pay for a turn, by the id that a log entry carries (`abstraction.turnId`). Where a swapped
 * turn was moved, cut or shared anew since, the agreement follows it; of several swaps the last one counts. Null where no
 * swap says anything: then the plot that takes the water pays.
 */
export async function payerOfTurn(db: Database, turnId: Id<'turn'>): Promise<SwapPayer | null> {
  let id: string | null = turnId
  while (id !== null) {
    const step: PayerStep | undefined = await payerStep(db, id)
    if (step?.payerPlotId && step.swapId) return { plotId: step.payerPlotId, swapId: step.swapId }
    id = step?.beforeId ?? null
  }
  return null
}

interface PayerStep {
  payerPlotId: Id<'plot'> | null
  swapId: Id<'swap'> | null
  /** The turn that this one took the place of. */
  beforeId: string | null
}

function payerStep(db: Database, turnId: Id<'turn'>): Promise<PayerStep | undefined> {
  return db
    .selectFrom('turn')
    .leftJoin('swappedTurn', 'swappedTurn.turnId', 'turn.id')
    .leftJoin('turnChange', 'turnChange.entryId', 'turn.entryId')
    .select(['payerPlotId', 'swapId', 'turnChange.turnId as beforeId'])
    .where('turn.id', '=', turnId)
    .executeTakeFirst()
}

type Proposed = Pick<Swap, 'weekStartOn' | 'turnId' | 'otherTurnId' | 'toPlotId'>

type Agreed = Proposed & Pick<Swap, 'id' | 'payer'>

type Laid = { was: BookedTurn; now: PlannedTurn }[]

/** What a swap comes to in the week as it stands, or why it cannot be. */
export async function laidSwap(
  db: Database,
  swap: Proposed,
): Promise<{ turns: Laid } | { refusal: SwapRefusal | 'turn-gone' | 'no-crop-there' }> {
  const week = await standingWeek(db, swap.weekStartOn)
  const turn = week && byId(week, swap.turnId)
  if (!week || !turn) return { refusal: 'turn-gone' }
  const drawn = await loggedM3(db, [swap.turnId, swap.otherTurnId ?? swap.turnId])
  if (drawn.size > 0) return { refusal: 'turn-gone' }
  const { inputs, standing: turns } = week
  if (swap.otherTurnId === null) {
    if (!(await isCropped(db, swap.toPlotId, turn.on))) return { refusal: 'no-crop-there' }
    const given = giveTurn({ inputs, turns, turn, toPlotId: swap.toPlotId })
    return 'refusal' in given ? given : { turns: [{ was: turn, now: given.turn }] }
  }
  const other = byId(week, swap.otherTurnId)
  if (!other) return { refusal: 'turn-gone' }
  const swapped = swapTurns({ inputs, turns, first: turn, second: other })
  if ('refusal' in swapped) return swapped
  return {
    turns: [
      { was: turn, now: swapped.first },
      { was: other, now: swapped.second },
    ],
  }
}

/** Days before a sowing in which its ground may be watered for it. Own choice, no source. */
const DAYS_BEFORE_SOWING = 7

/**
 * Whether a crop stands on a plot, or is to be sown there soon. Water counts for the plot that takes it, and whoever gave a turn away
 * gets it once more: on bare ground that would be water beside all parts.
 */
async function isCropped(db: Database, plotId: Id<'plot'>, on: CalendarDate): Promise<boolean> {
  const days = [...Array(DAYS_BEFORE_SOWING + 1).keys()].map((later) => addDays(on, later))
  return (await cropPlans(db)).some(
    (plan) => plan.plotId === plotId && (plan.crop === null || standsInWeek(plan, days)),
  )
}

/** Writes an agreed swap as dated changes; the published week stays as it was agreed. */
export async function writeSwap(pen: Pen, swap: Agreed, turns: Laid, reason: string): Promise<void> {
  const { id: swapId, weekStartOn, payer } = swap
  for (const [at, { was, now }] of turns.entries()) {
    const hadTheHours = (turns.at(at - 1) ?? turns[0]!).was.plotId // of two the other one, of a gift its giver
    const payerPlotId = payer === 'taker' ? now.plotId : hadTheHours
    await addSwapped(pen, { swapId, payerPlotId, weekStartOn, was, bookId: was.bookId, now, reason })
  }
}

function byId(week: StandingWeek, id: string): BookedTurn | undefined {
  return week.standing.find((turn) => turn.bookId === id)
}
