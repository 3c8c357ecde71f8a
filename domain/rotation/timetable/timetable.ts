import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { litresToM3 } from '../../units.ts'
import { turnBurdens } from './burdens.ts'
import { checkTimetableInput } from './input.ts'
import { type Layout, type Placed, restAfter } from './layout.ts'
import { asOneList, tailAfterHeadNote } from './one-list.ts'
import { compareText, type PumpWeek, pumpWeeks, type Row } from './pump-week.ts'
import { isLate, isTailAfterHead, timeOf } from './score.ts'
import { bestLayout } from './search.ts'
import { tankCourse } from './tank/fills.ts'
import { tankLayouts } from './tank/layout.ts'
import { reservedForTanks } from './tank/reserve.ts'
import type {
  PlannedTurn,
  TimetableInput,
  TimetableNote,
  TimetableResult,
  UnplacedReason,
  UnplacedVolume,
} from './types.ts'
import { unplacedReason } from './unplaced.ts'

/** How many minutes of plans are looked at for a whole group, and at least for each pump. */
const MINUTES_TRIED = 4e7
const LEAST_TRIES = 200
/** More than this for each claim and day changes nothing more. */
const TRIES_A_CHOICE = 400

/**
 * The week's turns by volume under each pump's hour-by-hour flow. The flow of a turn is the smaller of its outlet's flow and what
 * the turns before it on the day's list leave of the pump's; a turn is one stretch of a day, and what does not fit is
 * given on another day or named as unplaced. Volumes are whole litres; a claim's turns and its unplaced water sum to its volume.
 */
export function timetable(input: TimetableInput): TimetableResult {
  checkTimetableInput(input)
  const apart = serving(input)
  if (apart.unplacedM3.length === 0 || input.allocations.every(({ spaced }) => !spaced)) return apart
  // Days between turns are a wish; where they would cost water, all hours are free for it.
  return serving({ ...input, allocations: input.allocations.map(({ spaced: _, ...allocation }) => allocation) })
}

function serving(input: TimetableInput): TimetableResult {
  const result = directFirst(input)
  const short = pumpsWithShortTanks(input, result)
  if (short.size === 0) return result
  const reserved = reservedForTanks(input).filter(({ pumpId = '' }) => short.has(pumpId))
  const evenly = directFirst(input, [...input.unavailable, ...reserved])
  return unplacedLitres(evenly) < unplacedLitres(result) ? evenly : result
}

/** The direct turns as if there were no tank, at most kept out of some hours, and then the tanks' turns out of what they leave. */
export function directFirst(input: TimetableInput, unavailable = input.unavailable): TimetableResult {
  const weeks = pumpWeeks({ ...input, unavailable })
  const asGiven = unavailable === input.unavailable ? weeks : pumpWeeks(input) // reasons are told by the hours as given
  const parts = weeks.map((week, at): Part => {
    const layout = bestLayout(week, triesFor(week, weeks.length))
    const reasonOf = (row: Row) => unplacedReason(asGiven[at]!, asGiven[at]!.rows[week.rows.indexOf(row)]!)
    return {
      pumpId: week.pumpId,
      turns: turnsOf(week, layout),
      unplacedM3: unplacedOf(week, layout, reasonOf),
      notes: notesOf(week, layout),
    }
  })
  const all = input.tanks?.length ? withTanks(input, parts) : { parts, fills: {} }
  return {
    turns: all.parts.flatMap(({ turns }) => turns).sort(byTime),
    unplacedM3: all.parts
      .flatMap(({ unplacedM3 }) => unplacedM3)
      .sort((a, b) => compareText(a.claimId, b.claimId) || compareText(a.outletId, b.outletId)),
    ...all.fills,
    notes: all.parts.flatMap(({ notes }) => notes),
  }
}

/** The pumps of tanks whose turns did not all find water. */
function pumpsWithShortTanks({ outlets }: TimetableInput, { unplacedM3 }: TimetableResult): Set<string> {
  const fed = new Map(outlets.flatMap(({ id, pumpId, tankId }) => (tankId === undefined ? [] : [[id, pumpId]])))
  return new Set(unplacedM3.flatMap(({ outletId }) => fed.get(outletId) ?? []))
}

function unplacedLitres({ unplacedM3 }: TimetableResult): number {
  return sum(unplacedM3, ({ volumeM3 }) => Math.round(volumeM3 * 1000))
}

type Part = Pick<TimetableResult, 'turns' | 'unplacedM3' | 'notes'> & { pumpId: Id<'pump'> }

/** The pumps' turns with those that their tanks give by gravity, and how the tanks are filled for them. */
function withTanks(input: TimetableInput, parts: Part[]): { parts: Part[]; fills: Pick<TimetableResult, 'fills'> } {
  const direct = parts.flatMap(({ turns }) => turns)
  const layouts = tankLayouts(input, direct, { triesFor: (week) => triesFor(week, 1), turnsOf })
  const pumpIds = input.pumps.map(({ id }) => id).sort(compareText)
  const merged = pumpIds.flatMap((pumpId): Part[] => {
    const own = parts.filter((part) => part.pumpId === pumpId)
    const tankIds = (input.tanks ?? []).filter((tank) => tank.pumpId === pumpId).map((tank) => tank.id)
    const fed = layouts.filter(({ week }) => tankIds.some((id) => id === (week.pumpId as string)))
    if (fed.length === 0) return own
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
function triesFor(week: PumpWeek, pumps: number): number {
  const minutesATry = week.days.length * (600 + 60 * week.rows.length)
  const tries = Math.max(LEAST_TRIES, Math.round(MINUTES_TRIED / pumps / minutesATry))
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

function byTime(a: PlannedTurn, b: PlannedTurn): number {
  return (
    compareText(a.on, b.on) || a.startMinute - b.startMinute || compareText(a.pumpId, b.pumpId) || a.order - b.order
  )
}
