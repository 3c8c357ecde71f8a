import type { Id } from '../../id.ts'
import { type M3, MINUTES_PER_DAY } from '../../units.ts'
import { turnRules } from '../draft/limits.ts'
import type { ClosedHours, PlannedTurn, TimetableRules } from '../timetable/types.ts'
import type { ReshareInput } from './reshare-input.ts'

/** The hours that are left of a day, minute by minute. */
export interface RestOfDay {
  /** The pump's flow of each minute still to come, in m3 a minute. */
  flowM3: Float64Array
  /** When the pump starts, where it does not run when the day changes; else 0. */
  pumpStartsAt: number
  /** Nobody is called to an earlier start than agreed before this minute. */
  callableFromMinute: number
  rules: TimetableRules & { gridMinutes: number; maxTurnMinutes: number }
  byTurn: Map<string, TurnHours>
  /** When each line of the pump is free again after the turns that have ended; 0 for a line that nothing has used. */
  linesFreeAt: number[]
  /** When each outlet is free again after the turns that have ended. */
  outletsFreeAt: Map<string, number>
}

export interface TurnHours {
  isRunning: boolean
  outletM3: M3
  fillingMinutes: number
  /** Outlets that must not be open at the same time. */
  barredOutletIds: Set<string>
  /** For each minute the end of the open stretch around it; 0 where the turn cannot run. */
  openUntil: Int16Array
  /** What the outlet could have brought from the first minute of the day until each minute. */
  aloneM3Until: Float64Array
  longestMinutes: number
}

/** Everything that the open turns may use from now on: the pump's flow, their holders' hours, lines and outlets. */
export function restOfDay(input: ReshareInput): RestOfDay {
  const flowM3 = flowOfDay(input)
  const given: TimetableRules = input.rules ?? turnRules(input.inputs)
  const { gridMinutes = 5, maxTurnMinutes = MINUTES_PER_DAY, ...others } = given
  const rules = { ...others, gridMinutes, maxTurnMinutes }
  const open = input.turns.filter((turn) => input.openIds.has(turn.id))
  const byTurn = new Map(open.map((turn) => [turn.id, hoursOf(input, turn, flowM3, maxTurnMinutes)]))
  const ended = input.turns.filter((turn) => !input.openIds.has(turn.id) && turn.startMinute < input.fromMinute)
  const firstFlow = flowM3.findIndex((flow) => flow > 0)
  const pumpStartsAt = firstFlow > input.fromMinute ? firstFlow : 0
  const { callableFromMinute = 0 } = input
  return {
    flowM3,
    pumpStartsAt,
    callableFromMinute,
    rules,
    byTurn,
    ...freeAgain(input, ended, rules.changeoverMinutes),
  }
}

function flowOfDay({ fromMinute, downUntilMinute = 0, flowM3PerHByHour }: ReshareInput): Float64Array {
  const first = Math.max(fromMinute, downUntilMinute)
  return Float64Array.from({ length: MINUTES_PER_DAY }, (_, minute) =>
    minute < first ? 0 : (flowM3PerHByHour[Math.floor(minute / 60)] ?? 0) / 60,
  )
}

function hoursOf(input: ReshareInput, turn: PlannedTurn, flowM3: Float64Array, longest: number): TurnHours {
  const { inputs, fromMinute } = input
  const outletM3 = outletM3PerMinute(input, turn.outletId)
  const openUntil = openStretches(flowM3, closedHours(input, turn))
  const aloneM3Until = new Float64Array(MINUTES_PER_DAY + 1)
  for (let minute = 0; minute < MINUTES_PER_DAY; minute++)
    aloneM3Until[minute + 1] = aloneM3Until[minute]! + Math.min(outletM3, flowM3[minute]!)
  const isRunning = turn.startMinute < fromMinute
  const barred = (inputs.turnFacts?.notTogether ?? []).filter((pair) => pair.includes(turn.outletId)).flat()
  return {
    isRunning,
    outletM3,
    fillingMinutes: inputs.turnFacts?.fillingMinutes[turn.outletId] ?? 0,
    barredOutletIds: new Set(barred.filter((id) => id !== turn.outletId)),
    openUntil,
    aloneM3Until,
    longestMinutes: longest - (isRunning ? fromMinute - turn.startMinute : 0),
  }
}

/**
 * Hours of the holder; what was set aside for the turn as it stands stays set aside, and so does a day without turns on which it
 * stands.
 */
function closedHours({ inputs, on }: ReshareInput, turn: PlannedTurn): ClosedHours[] {
  return (inputs.turnFacts?.noTurnHours ?? [])
    .filter((hours) => hours.plotId === turn.plotId && (hours.on ?? on) === on)
    .filter(
      ({ fromHour = 0, toHour = 24 }: ClosedHours) =>
        turn.startMinute >= toHour * 60 - 1e-9 || turn.endMinute <= fromHour * 60 + 1e-9,
    )
}

function openStretches(flowM3: Float64Array, closed: readonly ClosedHours[]): Int16Array {
  const open = Uint8Array.from(flowM3, (flow) => (flow > 0 ? 1 : 0))
  for (const { fromHour = 0, toHour = 24 } of closed)
    open.fill(0, Math.floor(fromHour * 60 + 1e-9), Math.ceil(toHour * 60 - 1e-9))
  const until = new Int16Array(MINUTES_PER_DAY + 1)
  for (let minute = MINUTES_PER_DAY - 1; minute >= 0; minute--)
    if (open[minute]) until[minute] = until[minute + 1] || minute + 1
  return until
}

/** The walk from the last valves is not yet over for turns that have only just ended. */
function freeAgain({ inputs, pumpId, fromMinute }: ReshareInput, ended: readonly PlannedTurn[], changeover: number) {
  const atOnce = inputs.pumps.find((pump) => pump.id === pumpId)?.outletsAtOnce ?? 1
  const freeAt = (turn: PlannedTurn) => Math.min(turn.endMinute, fromMinute) + changeover
  const last = ended.map(freeAt).sort((a, b) => b - a)
  const linesFreeAt = Array.from({ length: atOnce }, (_, line) => last[line] ?? 0)
  const outletsFreeAt = new Map<string, number>()
  for (const turn of ended)
    outletsFreeAt.set(turn.outletId, Math.max(freeAt(turn), outletsFreeAt.get(turn.outletId) ?? 0))
  return { linesFreeAt, outletsFreeAt }
}

/** What the outlet carries at most, in m3 a minute; 0 for one that is not in the week. */
export function outletM3PerMinute({ inputs }: ReshareInput, outletId: Id<'outlet'>): number {
  return (inputs.outlets.find((outlet) => outlet.id === outletId)?.flowM3PerH ?? 0) / 60
}
