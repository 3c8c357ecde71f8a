import { type ResharedTurn, reshareDay } from '../../domain/rotation/reshare.ts'
import type { PlannedTurn } from '../../domain/rotation/timetable-types.ts'
import type { Database } from '../database/connection.ts'
import type { Group } from '../people/group-store.ts'
import type { ShownDay } from './day-lines.ts'
import type { NewDayChange } from './day-store.ts'
import { outcomesOf, saidOf } from './outcome-store.ts'
import { weekPumps } from './pump-week.ts'
import type { BookedTurn, PublishedShown } from './slip-turns.ts'

/** The turns that the rest of a day shared anew moves, cuts or takes off. */
export async function resharedTurns(
  db: Database,
  { group, day, change }: { group: Group; day: ShownDay & { week: PublishedShown }; change: NewDayChange },
): Promise<(ResharedTurn & { bookId: string })[]> {
  const { on, pumpId, kind, fromMinute, untilMinute } = change
  const ofPump = day.lines.filter(({ turn }) => turn.pumpId === pumpId && !turn.droppedBy)
  const open = ofPump.filter(({ state, turn }) => state === 'open' && turn.endMinute > fromMinute)
  const shared = reshareDay({
    inputs: day.week.inputs,
    results: day.week.results,
    on,
    pumpId,
    fromMinute,
    flowM3PerHByHour: await flowNow(db, group, day.week, change),
    ...(kind === 'down' ? { downUntilMinute: untilMinute ?? 24 * 60 } : {}),
    turns: ofPump.map(({ turn }) => plain(turn)),
    openIds: new Set(open.map(({ turn }) => turn.id)),
    weekM3ByPlot: await weekM3ByPlot(db, day.week),
  })
  const bookIds = new Map(open.map(({ turn }) => [turn.id, turn.bookId]))
  return shared.turns
    .filter(({ was, now }) => now === null || isOther(was, now))
    .map((turn) => ({ ...turn, bookId: bookIds.get(turn.was.id)! }))
}

function isOther(was: PlannedTurn, now: PlannedTurn): boolean {
  return was.startMinute !== now.startMinute || was.endMinute !== now.endMinute || was.volumeM3 !== now.volumeM3
}

/** A stopped pump gives what was expected once it runs again; a worse sky gives what the pump usually gives under it. */
async function flowNow(
  db: Database,
  group: Group,
  { inputs }: PublishedShown,
  change: NewDayChange,
): Promise<number[]> {
  const planned = inputs.pumps.find((pump) => pump.id === change.pumpId)?.flowM3PerHByDay[change.on] ?? []
  if (change.kind === 'down') return planned
  const { pumps } = await weekPumps(db, group, [change.on], { [change.on]: change.kind })
  const under = pumps.find((pump) => pump.id === change.pumpId)?.flowM3PerHByDay[change.on] ?? []
  return planned.map((flow, hour) => Math.min(flow, under[hour] ?? 0))
}

/** What each plot's turns of the week come to as they stand now; a turn that was missed brings nothing. */
async function weekM3ByPlot(db: Database, week: PublishedShown): Promise<Record<string, number>> {
  const turns = week.turns.filter((turn) => !turn.droppedBy)
  const outcomes = await outcomesOf(
    db,
    turns.map((turn) => turn.bookId),
  )
  const sums: Record<string, number> = {}
  for (const { bookId, plotId, volumeM3 } of turns) {
    if (saidOf(outcomes, bookId).missed) continue
    sums[plotId] = (sums[plotId] ?? 0) + volumeM3
  }
  return sums
}

function plain({
  plot: _,
  outlet: __,
  pump: ___,
  bookId: ____,
  writtenAt: _____,
  droppedBy: ______,
  amendment: _______,
  ...turn
}: BookedTurn): PlannedTurn {
  return turn
}
