import { sum } from '../../../sum.ts'
import { MINUTES_PER_DAY } from '../../../units.ts'
import { type Layout, restAfter } from '../layout/layout.ts'
import { type PumpWeek, type Row, tankWeek } from '../pump/pump-week.ts'
import type { PlannedTurn, TimetableInput, TimetableTank, UnplacedReason } from '../types.ts'
import { inflowsOf, surplusByDay, tankCourse } from './fills.ts'
import { pumpLitresByMinute } from './hours.ts'

/** A tank whose pump stood free would have to bring so much more before the other turns are said to hold it. */
const NOTABLY_MORE_PART = 0.01

interface TankLayout {
  week: PumpWeek
  layout: Layout
  turns: PlannedTurn[]
  /** Per row why its water did not all fit; null where it did. */
  reasons: (UnplacedReason | null)[]
}

interface Means {
  layoutOf: (week: PumpWeek) => Layout
  turnsOf: (week: PumpWeek, layout: Layout) => PlannedTurn[]
}

/**
 * The gravity turns of each tank: after the direct turns, since those lose what the pump lifts while nobody draws it. What the
 * direct turns leave fills the tank; what stands in it is the most that its turns draw.
 */
export function tankLayouts(input: TimetableInput, direct: readonly PlannedTurn[], means: Means): TankLayout[] {
  const turns = [...direct]
  return [...(input.tanks ?? [])]
    .sort((a, b) => (a.id < b.id ? -1 : 1))
    .flatMap((tank) => {
      const week = tankWeek(input, tank, inflowsFor(input, tank, turns))
      if (!week) return []
      const layout = means.layoutOf(week)
      const placed = means.turnsOf(week, layout).map((turn) => ({ ...turn, pumpId: tank.pumpId }))
      turns.push(...placed)
      return [{ week, layout, turns: placed, reasons: reasonsOf(input, tank, { week, layout, turns, means }) }]
    })
}

/** What the turns so far and the tanks before this one leave of the pump's flow. */
function inflowsFor(input: TimetableInput, tank: TimetableTank, turns: readonly PlannedTurn[]) {
  const before = (input.tanks ?? []).filter((other) => other.pumpId === tank.pumpId && other.id < tank.id)
  const { fills } = tankCourse({ works: { ...input, tanks: before }, turns })
  return surplusByDay(input, tank.pumpId, turns).map((surplus, day) => {
    const on = input.week.days[day]!
    for (const fill of fills.filter((one) => one.on === on)) {
      let rest = fill.volumeM3 * 1000
      for (let minute = fill.startMinute; minute < fill.endMinute; minute++) {
        const taken = Math.min(rest, surplus[minute]!)
        surplus[minute]! -= taken
        rest -= taken
      }
    }
    return inflowsOf(surplus, pumpLitresByMinute(input, tank.pumpId, on))
  })
}

function reasonsOf(
  input: TimetableInput,
  tank: TimetableTank,
  { week, layout, turns, means }: { week: PumpWeek; layout: Layout; turns: readonly PlannedTurn[]; means: Means },
): (UnplacedReason | null)[] {
  const rest = restAfter(layout)
  if (rest.every((litres) => litres === 0)) return week.rows.map(() => null)
  // Water that nobody uses on other days says that it is the tank that cannot hold it, not the pump that cannot lift it.
  const hasRoomLeft = unusedLitres(input, tank, turns) >= sum(rest)
  const isFull = hasRoomLeft || !wouldPumpHelp(input, tank, { week, rest, means })
  return week.rows.map((row, index) => (rest[index]! > 0 ? reasonOf(input, tank, { week, row, isFull }) : null))
}

function reasonOf(
  { pumps, week: { days } }: TimetableInput,
  { pumpId, startM3, floorM3 }: TimetableTank,
  { week, row, isFull }: { week: PumpWeek; row: Row; isFull: boolean },
): UnplacedReason {
  const flows = pumps.find(({ id }) => id === pumpId)!.flowM3PerHByDay
  const isPumpDry = days.every((day) => (flows[day] ?? []).every((flow) => flow === 0))
  if (row.litresPerMinute === 0 || (isPumpDry && startM3 <= floorM3)) return 'no-flow'
  const longest = row.openUntil.map((until, day) => longestTurn(week, until, row.nextStart[day]!))
  if (longest.every((minutes) => minutes === 0)) return 'no-open-hours'
  const alone = sum(longest, (minutes) => Math.floor(minutes * row.litresPerMinute + 1e-6))
  if (alone < row.litres) return 'hours-too-few'
  return isFull ? 'tank-full' : 'pump-full'
}

function longestTurn({ rules }: PumpWeek, openUntil: Int16Array, starts: Int16Array): number {
  let longest = 0
  for (let start = starts[0]!; start < MINUTES_PER_DAY; start = starts[start + 1]!) {
    longest = Math.max(longest, Math.min(openUntil[start]! - start, rules.maxTurnMinutes))
  }
  return longest
}

/** Whether the tank would give notably more if no direct turn drew from its pump. */
function wouldPumpHelp(
  input: TimetableInput,
  tank: TimetableTank,
  { week, rest, means }: { week: PumpWeek; rest: Float64Array; means: Means },
): boolean {
  const free = tankWeek(input, tank, inflowsFor(input, tank, []))!
  const restFree = restAfter(means.layoutOf(free))
  return sum(rest) - sum(restFree) > NOTABLY_MORE_PART * week.litres
}

/** What the pump could still have brought in the week after all turns so far, whichever tank they draw from. */
function unusedLitres(input: TimetableInput, { pumpId }: TimetableTank, turns: readonly PlannedTurn[]): number {
  const lifts = sum(input.week.days, (on) => sum(pumpLitresByMinute(input, pumpId, on)))
  return lifts - sum(turns, (turn) => (turn.pumpId === pumpId ? turn.volumeM3 * 1000 : 0))
}
