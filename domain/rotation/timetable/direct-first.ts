import { weekdayOf } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { litresToM3, MINUTES_PER_DAY } from '../../units.ts'
import { turnBurdens } from './burdens.ts'
import { type KnownParts, laidOnce } from './known.ts'
import type { Placed } from './layout/day.ts'
import { type Layout, restAfter } from './layout/layout.ts'
import { compareText, type PumpWeek, type PumpWork, pumpWeek, pumpWorks, type Row } from './pump/pump-week.ts'
import { isLate, isTailAfterHead, timeOf } from './score.ts'
import { bestLayout } from './search.ts'
import { tankCourse } from './tank/fills.ts'
import { tankLayouts } from './tank/layout.ts'
import type {
  PlannedTurn,
  TimetableInput,
  TimetableNote,
  TimetableResult,
  UnplacedReason,
  UnplacedVolume,
} from './types.ts'

/** How many minutes of plans are looked at for a whole group, and at least for each pump. */
const MINUTES_TRIED = 4e7
const LEAST_TRIES = 200
/** More than this for each claim and day changes nothing more. */
const TRIES_A_CHOICE = 400

/** The direct turns as if there were no tank, at most kept out of some hours, and then the tanks' turns out of what they leave. */
export function directFirst(
  input: TimetableInput,
  { effort = 1, unavailable = input.unavailable, known = new Map() }: Looked = {},
): TimetableResult {
  const works = pumpWorks(input)
  const parts = works.map((work): Part => {
    const lay = () => partOf(input, work, { pumps: works.length, effort, unavailable })
    return unavailable === input.unavailable ? laidOnce(known, [works.length, effort, work], lay) : lay()
  })
  const all = input.tanks?.length ? withTanks(input, parts, { effort, known }) : { parts, fills: {} }
  return {
    turns: all.parts.flatMap(({ turns }) => turns).sort(byTime),
    unplacedM3: all.parts
      .flatMap(({ unplacedM3 }) => unplacedM3)
      .sort((a, b) => compareText(a.claimId, b.claimId) || compareText(a.outletId, b.outletId)),
    ...all.fills,
    notes: all.parts.flatMap(({ notes }) => notes),
  }
}

interface Looked {
  /** The part of the usual number of plans that is looked at. */
  effort?: number
  unavailable?: TimetableInput['unavailable']
  known?: KnownParts
}

type Part = Pick<TimetableResult, 'turns' | 'unplacedM3' | 'notes'> & { pumpId: Id<'pump'> }

function partOf(
  input: TimetableInput,
  work: PumpWork,
  { pumps, effort, unavailable }: { pumps: number; effort: number; unavailable: TimetableInput['unavailable'] },
): Part {
  const week = pumpWeek({ ...input, unavailable }, work)
  const asGiven = unavailable === input.unavailable ? week : pumpWeek(input, work) // reasons are told by the hours as given
  const layout = bestLayout(week, triesFor(week, pumps, effort))
  const reasonOf = (row: Row) => unplacedReason(asGiven, asGiven.rows[week.rows.indexOf(row)]!)
  return {
    pumpId: week.pumpId,
    turns: turnsOf(week, layout),
    unplacedM3: unplacedOf(week, layout, reasonOf),
    notes: notesOf(week, layout),
  }
}

/** The pumps' turns with those that their tanks give by gravity, and how the tanks are filled for them. */
function withTanks(
  input: TimetableInput,
  parts: Part[],
  { effort, known }: { effort: number; known: KnownParts },
): { parts: Part[]; fills: Pick<TimetableResult, 'fills'> } {
  const direct = parts.flatMap(({ turns }) => turns)
  const layouts = tankLayouts(input, direct, {
    layoutOf: (week) => {
      const tries = triesFor(week, 1, effort)
      const allocations = week.rows.map(({ allocation }) => allocation)
      return laidOnce(known, [tries, week.pumpId, week.tank, allocations], () => bestLayout(week, tries))
    },
    turnsOf,
  })
  const pumpIds = input.pumps.map(({ id }) => id).sort(compareText)
  const merged = pumpIds.flatMap((pumpId): Part[] => {
    const own = parts.filter((part) => part.pumpId === pumpId)
    const tankIds = (input.tanks ?? []).filter((tank) => tank.pumpId === pumpId).map((tank) => tank.id)
    const fed = layouts.filter(({ week }) => tankIds.some((id) => id === (week.pumpId as string)))
    const turns = asOneList(
      input,
      [...own, ...fed].flatMap((part) => part.turns),
    )
    const late = [...own, ...fed.map(({ week, layout }) => ({ notes: notesOf(week, layout) }))]
      .flatMap(({ notes }) => notes)
      .filter(({ code }) => code === 'after-latest-day')
    return [
      {
        pumpId,
        turns,
        unplacedM3: [
          ...own.flatMap(({ unplacedM3 }) => unplacedM3),
          ...fed.flatMap(({ week, layout, reasons }) =>
            unplacedOf(week, layout, (row) => reasons[week.rows.indexOf(row)]!),
          ),
        ],
        notes: [...late, ...tailAfterHeadNote(input, pumpId, turns)],
      },
    ]
  })
  const turns = merged.flatMap((part) => part.turns)
  return { parts: merged, fills: { fills: tankCourse({ works: input, turns }).fills } }
}

/** The same for the same week on every machine: a count of work, never a clock. */
function triesFor(week: PumpWeek, pumps: number, effort: number): number {
  const minutesATry = week.days.length * (600 + 60 * week.rows.length)
  const tries = Math.round(effort * Math.max(LEAST_TRIES, MINUTES_TRIED / pumps / minutesATry))
  return Math.min(tries, TRIES_A_CHOICE * week.rows.length * week.days.length)
}

function turnsOf(week: PumpWeek, { days }: Layout): PlannedTurn[] {
  return days.flatMap((turnsOfDay, day) =>
    turnsOfDay.map((turn, at) => {
      const { claimId, plotId, outletId } = week.rows[turn.row]!.allocation
      return {
        id: turnId(week, turn),
        claimId,
        plotId,
        outletId,
        pumpId: week.pumpId,
        on: week.days[day]!,
        order: turn.order + 1,
        startMinute: turn.startMinute,
        endMinute: turn.endMinute,
        volumeM3: litresToM3(turn.litres),
        hours: (turn.endMinute - turn.startMinute) / 60,
        burdens: turnBurdens(timeOf(week, turnsOfDay, at)),
      }
    }),
  )
}

function turnId({ rows, days }: PumpWeek, { row, day }: { row: number; day: number }): string {
  const { claimId, outletId } = rows[row]!.allocation
  return `${claimId}/${outletId}/${days[day]}`
}

function unplacedOf(week: PumpWeek, layout: Layout, reasonOf: (row: Row) => UnplacedReason): UnplacedVolume[] {
  const rest = restAfter(layout)
  return week.rows.flatMap((row, index) => {
    const litres = rest[index]!
    const { claimId, outletId } = row.allocation
    return litres > 0 ? [{ claimId, outletId, volumeM3: litresToM3(litres), reason: reasonOf(row) }] : []
  })
}

function notesOf(week: PumpWeek, layout: Layout): TimetableNote[] {
  const turns = layout.days.flat()
  const claimOf = ({ row }: Placed) => week.rows[row]!.allocation
  const isFirst = (turn: Placed) => turns.every((other) => claimOf(other) !== claimOf(turn) || other.day >= turn.day)
  const late = turns.filter((turn) => isFirst(turn) && isLate(week, turn))
  const notes: TimetableNote[] = late.map((turn) => ({ code: 'after-latest-day', turnId: turnId(week, turn) }))
  if (isTailAfterHead(week, layout)) notes.push({ code: 'tail-after-head', pumpId: week.pumpId })
  return notes
}

/** Those of one minute stay as they are: by pumps, and by their places on the list of each. */
function byTime(a: PlannedTurn, b: PlannedTurn): number {
  return compareText(a.on, b.on) || a.startMinute - b.startMinute
}

/** Turns straight from a pump and turns from its tanks as one list a day, with their places and hard hours on it. */
function asOneList({ rules }: Pick<TimetableInput, 'rules'>, turns: readonly PlannedTurn[]): PlannedTurn[] {
  const days = new Map<string, PlannedTurn[]>()
  for (const turn of turns) {
    const key = JSON.stringify([turn.pumpId, turn.on])
    days.set(key, [...(days.get(key) ?? []), turn])
  }
  return [...days.values()].flatMap((day) =>
    day
      .sort((a, b) => a.startMinute - b.startMinute)
      .map((turn, at) => {
        const { startMinute, endMinute } = turn
        const onBurdenWeekday = (rules.burdenWeekdays ?? [7]).includes(weekdayOf(turn.on))
        const isLast = at > 0 && at === day.length - 1
        return { ...turn, order: at + 1, burdens: turnBurdens({ startMinute, endMinute, onBurdenWeekday, isLast }) }
      }),
  )
}

/** The pump's tail, by whatever way it is served, waits until its head has finished. */
function tailAfterHeadNote(
  { allocations, outlets }: Pick<TimetableInput, 'allocations' | 'outlets'>,
  pumpId: Id<'pump'>,
  turns: readonly PlannedTurn[],
): TimetableNote[] {
  const own = new Set(outlets.filter((outlet) => outlet.pumpId === pumpId).map(({ id }) => id))
  const asked = allocations.filter(({ outletId, volumeM3 }) => own.has(outletId) && volumeM3 > 0)
  const positionOf = new Map(asked.map((one) => [`${one.claimId} ${one.outletId}`, one.linePosition ?? 0]))
  const head = Math.min(...positionOf.values())
  const tail = Math.max(...positionOf.values())
  if (head === tail) return []
  let headEnds = ''
  let tailStarts = '~'
  for (const turn of turns.filter(({ outletId }) => own.has(outletId))) {
    const position = positionOf.get(`${turn.claimId} ${turn.outletId}`)
    const [starts, ends] = [turn.startMinute, turn.endMinute].map((at) => `${turn.on} ${String(at).padStart(4, '0')}`)
    if (position === head && ends! > headEnds) headEnds = ends!
    if (position === tail && starts! < tailStarts) tailStarts = starts!
  }
  const isSaid = headEnds !== '' && tailStarts !== '~' && tailStarts >= headEnds
  return isSaid ? [{ code: 'tail-after-head', pumpId }] : []
}

/** Names why a row's water did not all fit, by asking what the row could have had with the pump to itself. */
function unplacedReason(week: PumpWeek, row: Row): UnplacedReason {
  if (row.litresPerMinute === 0 || week.supply.flowing.every(({ first }) => first < 0)) return 'no-flow'
  const aloneLitres = week.days.map((_, day) => mostAloneLitres(week, row, day))
  if (row.nextStart.every((starts, day) => starts[0]! >= row.openUntil[day]!.length)) return 'no-open-hours'
  return sum(aloneLitres) < row.litres ? 'hours-too-few' : 'pump-full'
}

/** The most that one turn could bring on that day with no other turn beside it. */
function mostAloneLitres(week: PumpWeek, row: Row, day: number): number {
  const given = week.supply.drawnAlone(day, row.litresPerMinute)
  const starts = row.nextStart[day]!
  const { maxTurnMinutes } = week.rules
  let most = 0
  for (let start = starts[0]!; start < MINUTES_PER_DAY; start = starts[start + 1]!) {
    const end = Math.min(row.openUntil[day]![start]!, start + maxTurnMinutes)
    most = Math.max(most, given[end]! - given[start]!)
  }
  return Math.floor(most + 1e-6)
}
