import type { Group } from '../../../domain/people/group.ts'
import { checkReshare } from '../../../domain/rotation/day/check-reshare.ts'
import { type ResharedDay, type ResharedTurn, reshareDay } from '../../../domain/rotation/day/reshare.ts'
import type { ReshareInput } from '../../../domain/rotation/day/reshare-input.ts'
import { checkReshareTanks, reshareTanks, type TankReshareInput } from '../../../domain/rotation/day/reshare-tank.ts'
import type { TimetableProblem } from '../../../domain/rotation/timetable/check/problem.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs, WeekTank } from '../../../domain/rotation/week/inputs.ts'
import { sum } from '../../../domain/sum.ts'
import { downToLitreM3, MINUTES_PER_DAY } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import { clockMinute } from '../clock.ts'
import { loggedM3 } from '../outcome/season.ts'
import { outcomesOf, saidOf } from '../outcome/store.ts'
import { type PublishedShown, plainTurn } from '../published/turn-store.ts'
import { lastTankLevels } from '../tank-turn/store.ts'
import { afterChanges, flowUnder } from './flow.ts'
import type { DayLine, ShownDay } from './lines.ts'
import { shortDayRuleOn } from './rule-store.ts'
import type { NewDayChange } from './store.ts'

interface Reshared {
  /** The turns that the rest of the day moves, cuts or takes off. */
  turns: (ResharedTurn & { bookId: string })[]
  /** What the judge has against it; empty unless there is a fault of ours. */
  problems: TimetableProblem[]
}

/** The rest of a day shared anew, and judged from the raw inputs before anybody is told. */
export async function reshared(db: Database, day: ChangedDay): Promise<Reshared> {
  const input = await reshareInput(db, day)
  const shared = reshareDay(input)
  const tanks = await tankReshareInput(db, day, { input, shared })
  const byGravity = reshareTanks(tanks)
  const turns = [...shared.turns, ...byGravity]
    .filter(({ was, now }) => now === null || isOther(was, now))
    .map((turn) => ({ ...turn, bookId: turn.was.id }))
  const problems = [...checkReshare({ input, reshared: shared }), ...checkReshareTanks(tanks, byGravity)]
  return { turns, problems }
}

interface ChangedDay {
  group: Group
  day: ShownDay & { week: PublishedShown }
  change: NewDayChange
  callableFromMinute: number
}

/** The turns straight from the pump; those by gravity go by what the day then brings into their tank. */
async function reshareInput(
  db: Database,
  { group, day, change, callableFromMinute }: ChangedDay,
): Promise<ReshareInput> {
  const { on, pumpId, kind, fromMinute, untilMinute } = change
  const isDirect = ({ outletId }: PlannedTurn) =>
    !day.week.inputs.outlets.some(({ id, tankId }) => id === outletId && tankId)
  const ofPump = day.lines.filter(
    ({ turn, state }) => turn.pumpId === pumpId && !turn.droppedBy && isTaken(state) && isDirect(turn),
  )
  const cutShort = ofPump.filter((line) => isCutShort(line, fromMinute))
  const open = ofPump.filter(({ state, turn }) => state === 'open' && turn.endMinute > fromMinute)
  const openIds = new Set([...open, ...cutShort].map(({ turn }) => turn.bookId))
  const before = day.changes.filter((one) => one.pumpId === pumpId)
  // A pump that was read has given less since the morning, so that running turns have drawn less too.
  const changes = change.given ? [...before, change] : before
  const inputs = await afterChanges(db, { group, inputs: day.week.inputs, changes })
  return {
    inputs,
    results: day.week.results,
    on,
    pumpId,
    fromMinute,
    callableFromMinute,
    flowM3PerHByHour: await flowNow(db, group, inputs, change),
    ...(kind === 'down' ? { downUntilMinute: untilMinute ?? MINUTES_PER_DAY } : {}),
    turns: ofPump.map(({ turn }) => ({ ...plainTurn(turn), id: turn.bookId })),
    openIds,
    loggedM3: Object.fromEntries(cutShort.map(({ turn, drawnM3 }) => [turn.bookId, drawnM3])),
    weekM3ByPlot: await weekM3ByPlot(db, day.week, openIds),
    order: await shortDayRuleOn(db, on),
  }
}

function isTaken(state: DayLine['state']): boolean {
  return state === 'open' || state === 'done'
}

/**
 * The gravity turns of the day that have not begun, with the week's course of the tanks under the flow as it has become. Where a
 * tank was read at dawn of the day, the course begins there; else with the plan of the week.
 */
async function tankReshareInput(
  db: Database,
  { day, change: { on, pumpId, fromMinute, untilMinute, kind } }: ChangedDay,
  { input, shared }: { input: ReshareInput; shared: ResharedDay },
): Promise<TankReshareInput> {
  const levels = await lastTankLevels(db, { weekStartOn: on, today: on })
  const tanks = input.inputs.tanks?.filter((tank) => tank.pumpId === pumpId) ?? []
  const isRead = tanks.every(({ id }) => levels.get(id)?.on === on)
  const isStill = (hour: number) => kind === 'down' && hour * 60 < (untilMinute ?? MINUTES_PER_DAY)
  const pumps = input.inputs.pumps.map((pump) => {
    if (pump.id !== pumpId) return pump
    const planned = pump.flowM3PerHByDay[on] ?? []
    const flow = planned.map((before, hour) =>
      (hour + 1) * 60 <= fromMinute ? before : isStill(hour) ? 0 : (input.flowM3PerHByHour[hour] ?? 0),
    )
    return { ...pump, flowM3PerHByDay: { ...pump.flowM3PerHByDay, [on]: flow } }
  })
  const days = isRead ? input.inputs.days.filter((one) => one >= on) : input.inputs.days
  const startM3 = ({ id, areaM2, capacityM3 }: WeekTank) =>
    Math.min(capacityM3, downToLitreM3(areaM2 * levels.get(id)!.levelM))
  const now = new Map(shared.turns.map((turn) => [turn.was.id, turn.now]))
  const standing = day.week.turns.filter((turn) => !turn.droppedBy && days.includes(turn.on))
  const openIds = day.lines.filter(({ state, turn }) => state === 'open' && turn.startMinute >= fromMinute)
  return {
    inputs: {
      ...input.inputs,
      days,
      pumps,
      tanks: tanks.map((tank) => (isRead ? { ...tank, startM3: startM3(tank) } : tank)),
    },
    results: input.results,
    on,
    weekM3ByPlot: input.weekM3ByPlot,
    order: input.order,
    turns: standing.flatMap((turn) => {
      const plain = { ...plainTurn(turn), id: turn.bookId }
      return now.has(plain.id) ? (now.get(plain.id) ?? []) : [plain]
    }),
    openIds: new Set(openIds.map(({ turn }) => turn.bookId)),
  }
}

/** Written into the log with less than agreed, and not ended before the day changed: its rest is still to come. */
function isCutShort({ turn, draws, drawnM3 }: DayLine, fromMinute: number): boolean {
  if (draws.length === 0 || turn.startMinute >= fromMinute || turn.endMinute <= fromMinute) return false
  const doubtM3 = sum(draws, ({ uncertaintyM3 }) => uncertaintyM3)
  const endedBefore = draws.every(({ endTime }) => endTime !== null && clockMinute(endTime) < fromMinute)
  return !endedBefore && turn.volumeM3 - drawnM3 > Math.max(doubtM3, 0.001)
}

function isOther(was: PlannedTurn, now: PlannedTurn): boolean {
  return was.startMinute !== now.startMinute || was.endMinute !== now.endMinute || was.volumeM3 !== now.volumeM3
}

/** A stopped pump gives what was expected once it runs again; a worse sky gives what the pump usually gives under it. */
async function flowNow(db: Database, group: Group, inputs: WeekInputs, change: NewDayChange): Promise<number[]> {
  const expected = inputs.pumps.find((pump) => pump.id === change.pumpId)?.flowM3PerHByDay[change.on] ?? []
  const under = await flowUnder(db, group, change)
  return under ? expected.map((flow, hour) => Math.min(flow, under[hour] ?? 0)) : expected
}

/**
 * What each plot's turns of the week come to as they stand now: what was logged where there is a log, else what was agreed;
 * a turn that was missed brings nothing.
 */
async function weekM3ByPlot(
  db: Database,
  week: PublishedShown,
  openIds: ReadonlySet<string>,
): Promise<Record<string, number>> {
  const ids = week.turns.map((turn) => turn.bookId)
  const outcomes = await outcomesOf(db, ids)
  const logged = await loggedM3(db, ids)
  const sums: Record<string, number> = {}
  for (const { bookId, plotId, volumeM3, droppedBy } of week.turns) {
    const standsOpen = !droppedBy && !saidOf(outcomes, bookId).missed
    const countedM3 = openIds.has(bookId) ? volumeM3 : (logged.get(bookId) ?? (standsOpen ? volumeM3 : 0))
    sums[plotId] = (sums[plotId] ?? 0) + countedM3
  }
  return sums
}
