import type { Id } from '../id.ts'
import { sum } from '../sum.ts'
import { downToLitreM3, type M3, MINUTES_PER_DAY } from '../units.ts'
import { closes, turnRules } from './draft/limits.ts'
import { layTurn, type WishedTurn } from './manual-change/lay-turn.ts'
import type { PlannedTurn } from './timetable/types.ts'
import type { WeekInputs } from './week/inputs.ts'
import type { PlannedWeek } from './week/planned-week.ts'

export interface OpenSlot {
  on: string
  pumpId: Id<'pump'>
  startMinute: number
  endMinute: number
}

interface Week {
  inputs: WeekInputs
  results: Pick<PlannedWeek, 'drinking' | 'shares'>
  /** The turns that stand; a turn that was called off leaves its hours open. */
  turns: readonly PlannedTurn[]
}

/** Pump hours of a day that no turn takes, each at least as long as the shortest turn. */
export function openSlots({ inputs, turns, on }: Pick<Week, 'inputs' | 'turns'> & { on: string }): OpenSlot[] {
  const rules = turnRules(inputs)
  return inputs.pumps.flatMap((pump) => {
    if (isClosed(inputs, { pumpId: pump.id, on })) return []
    const flow = pump.flowM3PerHByDay[on] ?? []
    const slots: OpenSlot[] = []
    let start: number | null = null
    for (let minute = 0; minute <= MINUTES_PER_DAY; minute++) {
      const isOpen =
        minute < MINUTES_PER_DAY &&
        (flow[Math.floor(minute / 60)] ?? 0) > 0 &&
        linesTaken(turns, { pumpId: pump.id, on, minute, walk: rules.changeoverMinutes }) < pump.outletsAtOnce
      if (isOpen) start ??= minute
      else if (start !== null) {
        if (minute - start >= rules.minTurnMinutes)
          slots.push({ on, pumpId: pump.id, startMinute: start, endMinute: minute })
        start = null
      }
    }
    return slots
  })
}

/** Turns that hold a line of the pump at a minute, with the walk to the next valve before and after. */
function linesTaken(
  turns: readonly PlannedTurn[],
  { pumpId, on, minute, walk }: { pumpId: Id<'pump'>; on: string; minute: number; walk: number },
): number {
  return turns.filter(
    (turn) =>
      turn.pumpId === pumpId && turn.on === on && turn.startMinute - walk <= minute && minute < turn.endMinute + walk,
  ).length
}

/** A week as far as its volumes go. */
interface WeekVolumes {
  inputs: Pick<WeekInputs, 'weirs' | 'pumps'>
  results: Pick<PlannedWeek, 'drinking' | 'shares'>
  turns: readonly Pick<PlannedTurn, 'plotId' | 'pumpId' | 'volumeM3'>[]
}

/** What a weir may still give this week: its released water with the spare part, less drinking water and the turns that stand. */
export function openWaterM3({ inputs, results, turns }: WeekVolumes, weirId: Id<'weir'>): number {
  const releasableM3 = inputs.weirs.find((weir) => weir.id === weirId)?.releasableM3 ?? 0
  const drinkingM3 = results.drinking.find((one) => one.weirId === weirId)?.allocatedM3 ?? 0
  const pumpIds = inputs.pumps.filter((pump) => pump.weirId === weirId).map((pump) => pump.id)
  const takenM3 = sum(turns.filter((turn) => pumpIds.includes(turn.pumpId)).map(volumeOf))
  return Math.max(0, downToLitreM3(releasableM3 - drinkingM3 - takenM3))
}

/** What a plot may still book: its entitlement of the season so far, less what it received and the turns that stand. */
export function leftOfEntitlementM3(
  { results, turns }: Pick<WeekVolumes, 'results' | 'turns'>,
  plotId: Id<'plot'>,
): number {
  const share = results.shares.find((one) => one.plotId === plotId)
  if (!share) return 0
  const takenM3 = sum(turns.filter((turn) => turn.plotId === plotId).map(volumeOf))
  return Math.max(0, downToLitreM3(share.entitledM3 - share.receivedM3 - takenM3))
}

type BookingRefusal =
  | { refusal: 'not-in-week' | 'by-gravity' | 'closed' | 'turn-there-already' | 'slot-taken' | 'beyond-flow' }
  | { refusal: 'no-water' | 'beyond-entitlement'; leftM3: M3 }

/** One booking tried against the week as it stands: first come, within the entitlement, the water and the pump's hours. */
export function tryBooking(week: Week, wish: WishedTurn): { turn: PlannedTurn } | BookingRefusal {
  const { inputs, turns } = week
  const outlet = inputs.outlets.find((one) => one.id === wish.outletId)
  const pump = inputs.pumps.find((one) => one.id === outlet?.pumpId)
  if (!outlet || !pump || !inputs.days.includes(wish.on)) return { refusal: 'not-in-week' }
  if (outlet.tankId) return { refusal: 'by-gravity' }
  if (isClosed(inputs, { pumpId: pump.id, outletId: outlet.id, on: wish.on })) return { refusal: 'closed' }
  const entitled = leftOfEntitlementM3(week, wish.plotId)
  if (wish.volumeM3 > entitled) return { refusal: 'beyond-entitlement', leftM3: entitled }
  const water = openWaterM3(week, pump.weirId)
  if (wish.volumeM3 > water) return { refusal: 'no-water', leftM3: water }
  const isOwn = (turn: PlannedTurn) => turn.plotId === wish.plotId && turn.outletId === wish.outletId
  if (turns.some((turn) => isOwn(turn) && turn.on === wish.on)) return { refusal: 'turn-there-already' }
  const laid = layTurn(inputs, turns, wish)
  if (!laid) return { refusal: 'beyond-flow' }
  return isTaken(turns, laid, { atOnce: pump.outletsAtOnce, walk: turnRules(inputs).changeoverMinutes })
    ? { refusal: 'slot-taken' }
    : { turn: laid }
}

function isTaken(
  turns: readonly PlannedTurn[],
  laid: PlannedTurn,
  { atOnce, walk }: { atOnce: number; walk: number },
): boolean {
  const { pumpId, on, outletId, startMinute, endMinute } = laid
  const meets = (turn: PlannedTurn) =>
    turn.on === on && turn.startMinute < endMinute && turn.endMinute > startMinute && turn.outletId === outletId
  if (turns.some(meets)) return true
  for (let minute = startMinute; minute < endMinute; minute++)
    if (linesTaken(turns, { pumpId, on, minute, walk }) >= atOnce) return true
  return false
}

function isClosed({ closures }: WeekInputs, at: { pumpId: Id<'pump'>; outletId?: Id<'outlet'>; on: string }): boolean {
  return closures.some((closure) => closes(closure, at))
}

function volumeOf({ volumeM3 }: { volumeM3: M3 }): number {
  return volumeM3
}
