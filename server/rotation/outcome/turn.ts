import { timeZoneAt } from '../../people/group/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { localDate } from '../../web/pages/visit.ts'
import { type BookedTurn, turnInBook } from '../published/turn-store.ts'

/** A turn that stands on the list. */
export async function turnOr404({ db, params }: Desk<'id'>): Promise<BookedTurn> {
  const { turn } = found(await turnInBook(db, params.id))
  if (turn.droppedBy) throw new PageError(409, 'day.turn-gone')
  return turn
}

/** The visitor where the plot is theirs, else its first holder. */
export async function holderOf({ db, person }: Desk, turn: BookedTurn): Promise<string | null> {
  const holders = (await listPlots(db, turn.on)).find((plot) => plot.id === turn.plotId)?.holders ?? []
  return (holders.find((holder) => holder.id === person.id) ?? holders[0])?.id ?? null
}

/**
 * Day and hour of now by the clock by which a turn was agreed: whatever zone was settled since makes no turn begun that was not, nor
 * one that began not yet.
 */
export async function clockOfTurn({ db, at: now, timeZone: present }: Desk, { writtenAt }: BookedTurn) {
  const timeZone = (await timeZoneAt(db, writtenAt)) ?? present
  return { today: localDate(now, timeZone), now, timeZone }
}

export function turnTitle({ format }: Desk, turn: BookedTurn) {
  return { plot: turn.plot?.number ?? '', day: format.weekday(turn.on), from: format.clock(turn.startMinute) }
}
