import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { type MovedUp, moveUp } from '../../../domain/rotation/day/move-up.ts'
import type { Pen } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import { addAmendment } from '../published/amendment-store.ts'
import { type BookedTurn, plainTurn } from '../published/turn-store.ts'
import { afterChanges } from './flow.ts'
import type { DayLine, ShownDay } from './lines.ts'

/** Who would move up into the hours of a turn that nobody takes. */
export interface MoveUpOffer extends MovedUp {
  freedId: string
  /** The turn that would move, with its names. */
  mover: BookedTurn
}

/** For each turn of a day that was missed or called off, or that moved up itself: the next one that could take its hours. */
export async function moveUpOffers(
  db: Database,
  { group, day, fromMinute }: { group: Group; day: ShownDay; fromMinute: number },
): Promise<MoveUpOffer[]> {
  const freed = day.lines.filter(isFreed)
  if (!day.week || freed.length === 0) return []
  const inputs = await afterChanges(db, { group, inputs: day.week.inputs, changes: day.changes })
  const standing = day.lines.filter(({ state, turn }) => !turn.droppedBy && (state === 'open' || state === 'done'))
  const turns = standing.map(({ turn }) => ({ ...plainTurn(turn), id: turn.bookId }))
  const started = new Set(standing.filter(({ state }) => state === 'done').map(({ turn }) => turn.bookId))
  return freed.flatMap(({ turn }) => {
    const moved = moveUp({ inputs, turns, freed: plainTurn(turn), fromMinute, stays: started })
    const mover = moved && standing.find((line) => line.turn.bookId === moved.was.id)?.turn
    return moved && mover ? [{ ...moved, freedId: turn.bookId, mover }] : []
  })
}

function isFreed({ state, turn, lostTo, said, movedUp }: DayLine): boolean {
  if (lostTo || said.missed?.cause === 'breakdown') return false
  return movedUp || (!turn.droppedBy && (state === 'excused' || state === 'missed'))
}

/** Writes that a turn moved up: a dated change of the list, with the turn whose hours it took. */
export async function addMoveUp(
  pen: Pen,
  { weekStartOn, offer, reason }: { weekStartOn: CalendarDate; offer: MoveUpOffer; reason: string },
): Promise<string> {
  const { was, now, freedId, mover } = offer
  const change = {
    kind: 'move' as const,
    plotId: was.plotId,
    outletId: was.outletId,
    wasOn: was.on,
    on: now.on,
    startMinute: now.startMinute,
    volumeM3: null,
    reason,
  }
  return addAmendment(
    pen,
    { weekStartOn, turnId: mover.bookId, change, turn: now },
    { facts: () => ({ movedUpTurn: [{ freedTurnId: freedId, turnId: mover.bookId }] }) },
  )
}
