import type { Id } from '../id.ts'
import { sum } from '../sum.ts'
import { downToLitreM3, LITRES_PER_M3, litresToM3, type M3, MINUTES_PER_DAY, toLitreM3 } from '../units.ts'
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
  /** What plots went short of this week on days that gave less: it comes before any other booking. */
  shortfalls?: readonly Shortfall[]
}

export interface Shortfall {
  plotId: Id<'plot'>
  weirId: Id<'weir'>
  shortM3: M3
  /** Booked by the plot after the day was shared anew. */
  bookedSinceM3: M3
}

/** Pump hours of a day that no turn takes, each at least as long as the shortest turn. */
export function openSlots({ inputs, turns, on }: Pick<Week, 'inputs' | 'turns'> & { on: string }): OpenSlot[] {
  const rules = turnRules(inputs)
  return inputs.pumps.flatMap((pump) => {
    if (isClosed(inputs, { pumpId: pump.id, on })) return []
    const flow = pump.flowM3PerHByDay[on] ?? []
    const own = turns.filter((turn) => turn.pumpId === pump.id && turn.on === on)
    const slots: OpenSlot[] = []
    let start: number | null = null
    for (let minute = 0; minute <= MINUTES_PER_DAY; minute++) {
      const isOpen =
        minute < MINUTES_PER_DAY &&
        (flow[Math.floor(minute / 60)] ?? 0) > 0 &&
        linesTaken(own, minute, rules.changeoverMinutes) < pump.outletsAtOnce
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

/** Turns of a pump's day that hold a line of it at a minute, with the walk to the next valve before and after. */
function linesTaken(turns: readonly PlannedTurn[], minute: number, walk: number): number {
  return turns.filter((turn) => turn.startMinute - walk <= minute && minute < turn.endMinute + walk).length
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

/** What each plot that went short at a weir this week may still book before all others: no more than its part leaves. */
export function keptForShort(week: Week, weirId: Id<'weir'>): { plotId: Id<'plot'>; volumeM3: M3 }[] {
  const own = (week.shortfalls ?? []).filter((one) => one.weirId === weirId)
  return [...new Set(own.map(({ plotId }) => plotId))]
    .map((plotId) => {
      const short = own.filter((one) => one.plotId === plotId)
      const bookedM3 = Math.max(...short.map(({ bookedSinceM3 }) => bookedSinceM3))
      const openM3 = toLitreM3(sum(short, ({ shortM3 }) => shortM3) - bookedM3)
      return { plotId, volumeM3: Math.max(0, Math.min(openM3, leftOfEntitlementM3(week, plotId))) }
    })
    .filter(({ volumeM3 }) => volumeM3 > 0)
}

type BookingRefusal =
  | { refusal: 'not-in-week' | 'by-gravity' | 'closed' | 'turn-there-already' }
  | { refusal: 'slot-taken' | 'beyond-flow' | 'no-water' | 'kept-for-short' | 'beyond-entitlement'; leftM3: M3 }

/**
 * One booking tried against the week as it stands: first come, within the entitlement, the water and the pump's hours, after what
 * is kept for plots that a day left short. Where it does not fit, how much would.
 */
export function tryBooking(week: Week, wish: WishedTurn): { turn: PlannedTurn } | BookingRefusal {
  const tried = tryWhole(week, wish)
  const isOfHours = 'refusal' in tried && (tried.refusal === 'slot-taken' || tried.refusal === 'beyond-flow')
  return isOfHours ? { refusal: tried.refusal, leftM3: mostInHoursM3(week, wish) } : tried
}

/** The most, to the litre, that these hours carry beside the turns that stand: looked for by halving. */
function mostInHoursM3(week: Week, wish: WishedTurn): M3 {
  let [most, beyond] = [0, Math.round(wish.volumeM3 * LITRES_PER_M3)]
  while (most + 1 < beyond) {
    const tried = Math.floor((most + beyond) / 2)
    if ('turn' in tryWhole(week, { ...wish, volumeM3: litresToM3(tried) })) most = tried
    else beyond = tried
  }
  return litresToM3(most)
}

function tryWhole(week: Week, wish: WishedTurn): { turn: PlannedTurn } | BookingRefusal {
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
  const forOthers = keptForShort(week, pump.weirId).filter(({ plotId }) => plotId !== wish.plotId)
  const free = Math.max(0, downToLitreM3(water - sum(forOthers, volumeOf)))
  if (wish.volumeM3 > free) return { refusal: 'kept-for-short', leftM3: free }
  const isOwn = (turn: PlannedTurn) => turn.plotId === wish.plotId && turn.outletId === wish.outletId
  if (turns.some((turn) => isOwn(turn) && turn.on === wish.on)) return { refusal: 'turn-there-already' }
  const laid = layTurn(inputs, turns, wish)
  if (!laid) return { refusal: 'beyond-flow', leftM3: 0 }
  return isTaken(turns, laid, { atOnce: pump.outletsAtOnce, walk: turnRules(inputs).changeoverMinutes })
    ? { refusal: 'slot-taken', leftM3: 0 }
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
  const ofPump = turns.filter((turn) => turn.pumpId === pumpId && turn.on === on)
  for (let minute = startMinute; minute < endMinute; minute++)
    if (linesTaken(ofPump, minute, walk) >= atOnce) return true
  return false
}

function isClosed({ closures }: WeekInputs, at: { pumpId: Id<'pump'>; outletId?: Id<'outlet'>; on: string }): boolean {
  return closures.some((closure) => closes(closure, at))
}

function volumeOf({ volumeM3 }: { volumeM3: M3 }): number {
  return volumeM3
}
