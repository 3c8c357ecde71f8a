import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import { type M3, toLitreM3 } from '../../../domain/units.ts'
import { type WeekRhythm, weekStartOf } from '../../../domain/weeks.ts'
import type { Database } from '../../database/connection.ts'
import type { DrawCorrection, LoggedDraw, RotationAsks } from '../asks.ts'
import { outcomesOf, type TurnOutcome } from '../outcome/store.ts'
import { type Amendment, amendmentsOf } from '../published/amendment-store.ts'
import { type PlannedTurn, turnsEverPlanned } from '../published/listed-store.ts'

interface RecordedDraw extends LoggedDraw {
  /** What took its place later; null while it stands. */
  correction: DrawCorrection | null
}

/** One turn with everything that was agreed, said and written of it. */
interface RecordedTurn {
  turn: PlannedTurn
  /** The dated change that took it off the list; null while it stands. */
  change: Amendment | null
  outcomes: TurnOutcome[]
  draws: RecordedDraw[]
  drawnM3: M3
}

interface PlotRecord {
  turns: RecordedTurn[]
  /** Draws that were no turn of this plot. */
  offList: RecordedDraw[]
  agreedM3: M3
  drawnM3: M3
  /** The same two by week, the last first; a week without turn and draw is none. */
  weeks: { startOn: CalendarDate; agreedM3: M3; drawnM3: M3 }[]
}

/** What was agreed with a plot, what it drew, and what was corrected later: three facts side by side. */
export async function plotRecord(
  db: Database,
  asks: RotationAsks,
  span: { plotId: Id<'plot'>; fromOn: CalendarDate; toOn: CalendarDate; rhythm: WeekRhythm },
): Promise<PlotRecord> {
  const planned = await turnsEverPlanned(db, span)
  const draws = await drawsWithCorrections(db, asks, span)
  const changes = await changesOf(db, planned, span.rhythm)
  const outcomes = await outcomesOf(
    db,
    planned.map((turn) => turn.id),
  )
  const turns = planned.map((turn) => {
    const own = draws.filter((draw) => draw.turnId === turn.id)
    return {
      turn,
      change: changes.get(turn.id) ?? null,
      outcomes: outcomes.filter((one) => one.turnId === turn.id),
      draws: own,
      drawnM3: standingM3(own),
    }
  })
  const known = new Set(planned.map((turn) => turn.id))
  return {
    turns,
    offList: draws.filter((draw) => draw.turnId === null || !known.has(draw.turnId)),
    ...agreedAndDrawn(turns, draws),
    weeks: weeksOf(turns, draws, span.rhythm),
  }
}

function agreedAndDrawn(turns: readonly RecordedTurn[], draws: readonly RecordedDraw[]) {
  return {
    agreedM3: toLitreM3(sum(turns, ({ turn, change }) => (change ? 0 : turn.volumeM3))),
    drawnM3: standingM3(draws.filter((draw) => draw.use === 'irrigation')),
  }
}

function weeksOf(turns: readonly RecordedTurn[], draws: readonly RecordedDraw[], rhythm: WeekRhythm) {
  const turnsBy = group(turns, ({ turn }) => weekStartOf(turn.onDate, rhythm))
  const drawsBy = group(draws, ({ onDate }) => weekStartOf(onDate, rhythm))
  const starts = [...new Set([...turnsBy.keys(), ...drawsBy.keys()])].sort().reverse()
  return starts.map((startOn) => ({
    startOn,
    ...agreedAndDrawn(turnsBy.get(startOn) ?? [], drawsBy.get(startOn) ?? []),
  }))
}

async function drawsWithCorrections(
  db: Database,
  asks: RotationAsks,
  span: { plotId: string; fromOn: CalendarDate; toOn: CalendarDate },
): Promise<RecordedDraw[]> {
  const draws = await asks.drawsEverWritten(db, span)
  const corrections = await asks.correctionsOf(
    db,
    draws.map(({ id }) => id),
  )
  return draws.map((draw) => ({ ...draw, correction: corrections.get(draw.id) ?? null }))
}

async function changesOf(db: Database, turns: readonly PlannedTurn[], rhythm: WeekRhythm) {
  const changes = new Map<string, Amendment>()
  const weekStarts = new Set(turns.map((turn) => weekStartOf(turn.onDate, rhythm)))
  for (const one of await amendmentsOf(db, ...weekStarts)) if (one.turnId) changes.set(one.turnId, one)
  return changes
}

function standingM3(draws: readonly RecordedDraw[]): number {
  return toLitreM3(sum(draws, (draw) => (draw.correction ? 0 : draw.volumeM3)))
}
