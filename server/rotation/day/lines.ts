import { group as grouped } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { type DayTotals, dayTotals, type OutcomeState } from '../../../domain/rotation/outcome/totals.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { weekStartOf } from '../../../domain/weeks.ts'
import { turnsInDoubt } from '../../book/merge/clash-store.ts'
import type { Database } from '../../database/connection.ts'
import type { LoggedDraw, RotationAsks } from '../asks.ts'
import { outcomesOf, type Said, saidOf } from '../outcome/store.ts'
import { type BookedTurn, bookedTurns, type PublishedShown } from '../published/turn-store.ts'
import { type DayChange, type DaySheet, dayChangesOn, daySheetOn } from './store.ts'

export interface DayLine {
  turn: BookedTurn
  state: OutcomeState
  said: Said
  draws: LoggedDraw[]
  drawnM3: M3
  /** Why a turn that was shared anew is not moved but missed. */
  lostTo: DayChange | null
  /** Two joined devices say different things about it, and nobody has settled it. */
  inDoubt: boolean
  /** Moved up into hours that became free; then its own hours are free. */
  movedUp: boolean
}

export interface ShownDay {
  on: CalendarDate
  weekStartOn: CalendarDate
  week: PublishedShown | undefined
  lines: DayLine[]
  totals: DayTotals
  /** Water of the day that belongs to no turn on its sheet. */
  others: LoggedDraw[]
  /** What of it went to crops. */
  offSheet: LoggedDraw[]
  /** Everything that the log holds for the day. */
  writtenM3: M3
  changes: readonly DayChange[]
  sheet: DaySheet | null
}

/** A day as it came: every turn that was on its list, what became of it, and what was given beside the list. */
export async function shownDay(db: Database, asks: RotationAsks, group: Group, on: CalendarDate): Promise<ShownDay> {
  const weekStartOn = weekStartOf(on, group)
  const week = await bookedTurns(db, weekStartOn)
  const turns = week?.turns.filter((turn) => turn.on === on) ?? []
  const outcomes = await outcomesOf(
    db,
    turns.map((turn) => turn.bookId),
  )
  const changes = await dayChangesOn(db, on)
  const doubted = await turnsInDoubt(db)
  const logged = grouped(
    await asks.drawsOfTurns(
      db,
      turns.map((turn) => turn.bookId),
    ),
    ({ turnId }) => turnId,
  )
  const lines: DayLine[] = []
  for (const turn of turns) {
    const draws = logged.get(turn.bookId) ?? []
    const said = saidOf(outcomes, turn.bookId)
    const lostTo = changes.find((one) => one.turns.some((row) => row.turnId === turn.bookId && row.nowM3 === 0)) ?? null
    const drawnM3 = sum(draws, (draw) => draw.volumeM3)
    const movedUp = week?.amendments.some((one) => one.turnId === turn.bookId && one.movedUpInto !== null) ?? false
    const inDoubt = doubted.has(turn.bookId)
    lines.push({
      turn,
      said,
      draws,
      drawnM3,
      lostTo,
      inDoubt,
      movedUp,
      state: stateOf(turn, { drawnM3, said, lostTo }),
    })
  }
  const drawn = await asks.draws(db, { fromOn: on, toOn: on })
  const ids = new Set(turns.map((turn) => turn.bookId))
  const others = drawn.filter(({ turnId }) => !(turnId && ids.has(turnId)))
  return {
    on,
    weekStartOn,
    week,
    lines,
    totals: dayTotals({ turns: lines.map(({ state, turn }) => ({ state, volumeM3: turn.volumeM3 })) }),
    others,
    offSheet: others.filter((one) => one.use === 'irrigation'),
    writtenM3: sum(drawn, (one) => one.volumeM3),
    changes,
    sheet: await daySheetOn(db, on),
  }
}

/** Water that was logged says more than any word, a nought in the log says nothing; then an amendment, then what was said. */
function stateOf(
  turn: BookedTurn,
  { drawnM3, said, lostTo }: Pick<DayLine, 'drawnM3' | 'said' | 'lostTo'>,
): OutcomeState {
  if (drawnM3 > 0) return 'done'
  if (lostTo) return 'missed'
  if (turn.droppedBy) return 'moved'
  if (said.missed) return said.missed.cause === 'excused' ? 'excused' : 'missed'
  return 'open'
}
