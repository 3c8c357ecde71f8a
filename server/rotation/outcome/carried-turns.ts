import { inOrder } from '../../../domain/rotation/manual-change/lay-turn.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { lettingOthersIn } from '../../book/kept-answers.ts'
import { readAhead } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import type { SeasonWeek } from '../published/store.ts'
import { type BookedTurn, bookedWeeks, plainTurn, type ShownWeek } from '../published/turn-store.ts'
import { loggedM3, loggedSums } from './season.ts'
import { outcomesOf, saidOf, standingOutcomes } from './store.ts'

/**
 * The turns of some published weeks, week by week, as they were carried or still stand, each with its hard hours anew: a turn
 * that was moved, swapped or shared anew counts where it went, one that nobody took counts for nobody.
 */
export async function carriedTurns(db: Database, published: readonly SeasonWeek[]): Promise<PlannedTurn[][]> {
  const weeks = await bookedWeeks(db, published)
  const ids = weeks.flatMap(({ turns }) => turns.map((turn) => turn.bookId))
  if (ids.length > 0) readAhead(db, standingOutcomes(db, ids), loggedSums(db, ids))
  await lettingOthersIn()
  const outcomes = await outcomesOf(db, ids)
  const logged = await loggedM3(db, ids)
  const isCarried = ({ bookId, droppedBy }: BookedTurn) =>
    logged.has(bookId) || (!droppedBy && !saidOf(outcomes, bookId).missed)
  return weeks.map((week) => inOrder(asOneStretch(week, week.turns.filter(isCarried))))
}

/** A turn that the day cut in two is one turn, from its first start on. */
function asOneStretch({ amendments }: ShownWeek<SeasonWeek>, carried: readonly BookedTurn[]): PlannedTurn[] {
  const before = ({ amendment }: BookedTurn) => {
    const replacedId = amendments.find((one) => one.id === amendment)?.turnId
    return carried.find((turn) => turn.bookId === replacedId)
  }
  const begun = new Set(carried.map((turn) => before(turn)?.bookId))
  return carried
    .filter((turn) => !begun.has(turn.bookId))
    .map((turn) => {
      const startMinute = Math.min(turn.startMinute, before(turn)?.startMinute ?? turn.startMinute)
      return { ...plainTurn(turn), id: turn.bookId, startMinute }
    })
}
