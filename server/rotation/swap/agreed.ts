import { giveTurn, type SwapRefusal, swapTurns } from '../../../domain/rotation/swap.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { Pen } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import { loggedM3 } from '../outcome/season.ts'
import { type StandingWeek, standingWeek } from '../outcome/standing-week.ts'
import type { BookedTurn } from '../published/turn-store.ts'
import { addSwapped, type Swap } from './store.ts'

type Proposed = Pick<Swap, 'weekStartOn' | 'turnId' | 'otherTurnId' | 'toPlotId'>

type Agreed = Proposed & Pick<Swap, 'id' | 'payer'>

type Laid = { was: BookedTurn; now: PlannedTurn }[]

/** What a swap comes to in the week as it stands, or why it cannot be. */
export async function laidSwap(
  db: Database,
  swap: Proposed,
): Promise<{ turns: Laid } | { refusal: SwapRefusal | 'turn-gone' }> {
  const week = await standingWeek(db, swap.weekStartOn)
  const turn = week && byId(week, swap.turnId)
  if (!week || !turn) return { refusal: 'turn-gone' }
  const drawn = await loggedM3(db, [swap.turnId, swap.otherTurnId ?? swap.turnId])
  if (drawn.size > 0) return { refusal: 'turn-gone' }
  const { inputs, standing: turns } = week
  if (swap.otherTurnId === null) {
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
