import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { downToLitreM3, LITRES_PER_M3, type Litres, litresToM3, type M3, toLitreM3, wholeLitres } from '../../units.ts'
import { allocate } from '../allocation/allocate.ts'
import type { Claim } from '../allocation/types.ts'
import { plotOfClaim } from '../draft/claims.ts'
import type { PlannedTurn } from '../timetable/types.ts'
import { outletM3PerMinute, type RestOfDay, restOfDay } from './reshare-hours.ts'
import type { ReshareInput } from './reshare-input.ts'
import { isServedBefore, type Laid, layDay, shortOf, type ToLay } from './reshare-layout.ts'

export interface ResharedTurn extends Drawn {
  was: PlannedTurn
  /** Null for a turn that gets nothing any more. One that the log had already written down goes on as a turn of its own. */
  now: PlannedTurn | null
  /** The stretch in which water still comes; null where none does. */
  stretch: { startMinute: number; endMinute: number } | null
  /** What that stretch brings. */
  carriedM3: M3
  shortM3: M3
}

export interface ResharedDay {
  /** What the pump still gives on the day. */
  remainingM3: M3
  turns: ResharedTurn[]
}

/**
 * Shares the rest of a pump's day anew among the turns that are still to come or running: their claims are what is left of
 * their volumes, raised together by the level (received + allocated) / entitled as in the week itself, with the water of the
 * plot's other turns counted as received. Changing over costs minutes, so the most that finds its place is looked for, litre
 * by litre, by halving; a turn that finds no more place keeps what it has, and the others are raised further. The order of the
 * list stays; nobody is called before the agreed time unless the water would not
 * fit otherwise, and then to no hour that is already over (`callableFromMinute`). A group that goes by the queue
 * (`order`) fills each turn in the order of the list instead, as far as the day goes.
 */
export function reshareDay(input: ReshareInput): ResharedDay {
  const rest = restOfDay(input)
  const remainingM3 = downToLitreM3(sum(rest.flowM3))
  const open = openTurns(input, rest)
  const laid = input.order === 'queue' ? byQueue(rest, open) : mostPlaced(input, rest, open, wholeLitres(remainingM3))
  return { remainingM3, turns: laid.map((one, at) => resharedTurn(input, one, open[at]!)) }
}

interface Open extends Drawn {
  turn: PlannedTurn
  restM3: M3
  /** The most that it may still be given. */
  mostM3: M3
}

function openTurns(input: ReshareInput, rest: RestOfDay): Open[] {
  return input.turns
    .filter((turn) => input.openIds.has(turn.id))
    .sort(byList)
    .map((turn): Open => {
      const drawn = drawnSoFar(input, turn)
      const restM3 = toLitreM3(turn.volumeM3 - drawn.drawnM3)
      const alone = restM3 > 0 ? layDay(rest, [{ turn, wantedM3: restM3 }])[0]!.carriedM3 : 0
      return { turn, ...drawn, restM3, mostM3: alone }
    })
    .filter(({ restM3 }) => restM3 > 0)
}

/** Each turn in full by the list, until the day gives no more. */
function byQueue(rest: RestOfDay, open: readonly Open[]): Laid[] {
  return layDay(
    rest,
    open.map(({ turn, restM3 }) => ({ turn, wantedM3: restM3 })),
    isServedBefore,
  )
}

/** Raises the level as far as everything finds its place; whoever then stands in the way of more is held, and on it goes. */
function mostPlaced(input: ReshareInput, rest: RestOfDay, open: readonly Open[], remainingLitres: Litres): Laid[] {
  let now = open
  let litres = 0
  for (;;) {
    const laidFor = (pumpLitres: Litres) => layDay(rest, shareRest(input, rest, now, litresToM3(pumpLitres)))
    let laid = laidFor(litres)
    const wanted = Math.round(sum(now, ({ mostM3 }) => mostM3) * LITRES_PER_M3)
    let beyond = Math.min(remainingLitres, wanted) + 1
    for (let tried = beyond - 1; litres + 1 < beyond; tried = Math.floor((litres + beyond) / 2)) {
      const more = laidFor(tried)
      if (shortOf(more) > 0.0005) beyond = tried
      else [litres, laid] = [tried, more]
    }
    const held = heldBy(now, laid, laidFor(litres + 1))
    if (litres >= Math.min(remainingLitres, wanted) || held === null) return laid
    now = held
  }
}

/** Turns that one litre more would leave short get no more than they have; null where that holds nobody new. */
function heldBy(open: readonly Open[], laid: readonly Laid[], more: readonly Laid[]): Open[] | null {
  let isNew = false
  const held = open.map((one, at) => {
    const isShort = more[at]!.wantedM3 - more[at]!.carriedM3 > 0.0005
    if (!isShort || one.mostM3 <= laid[at]!.wantedM3) return one
    isNew = true
    return { ...one, mostM3: laid[at]!.wantedM3 }
  })
  return isNew ? held : null
}

/** The level raised again among the open turns, within what the pump and each outlet still bring. */
function shareRest(input: ReshareInput, rest: RestOfDay, open: readonly Open[], pumpM3: M3): ToLay[] {
  const { inputs, pumpId } = input
  const weirId = inputs.pumps.find((pump) => pump.id === pumpId)!.weirId
  const outletIds = [...new Set(open.map(({ turn }) => turn.outletId))]
  const allocation = allocate({
    weirs: [{ id: weirId, releasableM3: pumpM3 }],
    pumps: [{ id: pumpId, weirId, weekM3: pumpM3 }],
    outlets: outletIds.map((id) => ({ id, pumpId, weekM3: outletM3(input, id, rest) })),
    claims: [...new Set(open.map(({ turn }) => turn.plotId))].map((plotId) => claimOf(input, open, plotId)),
  })
  const leftLitres = new Map(allocation.claims.map((claim) => [claim.id, wholeLitres(claim.allocatedM3)]))
  return open.map(({ turn, mostM3 }) => {
    const left = leftLitres.get(turn.plotId) ?? 0
    const litres = Math.min(left, wholeLitres(mostM3)) // of two turns of a plot the earlier one first
    leftLitres.set(turn.plotId, left - litres)
    return { turn, wantedM3: litresToM3(litres) }
  })
}

/** What is left of a plot's turns, as a claim on the rest of a day; its other turns of the week count as received. */
export function claimOf(
  { results, weekM3ByPlot }: Pick<ReshareInput, 'results' | 'weekM3ByPlot'>,
  open: readonly Pick<Open, 'turn' | 'restM3' | 'mostM3'>[],
  plotId: Id<'plot'>,
): Claim {
  const own = open.filter(({ turn }) => turn.plotId === plotId)
  const ofWeek = results.allocationInput.claims.filter((claim) => plotOfClaim(claim.id) === plotId)
  const openM3 = toLitreM3(sum(own, ({ restM3 }) => restM3))
  const elsewhereM3 = Math.max(0, (weekM3ByPlot[plotId] ?? openM3) - openM3)
  return {
    id: plotId,
    outletIds: [...new Set(own.map(({ turn }) => turn.outletId))],
    needM3: toLitreM3(sum(own, ({ mostM3 }) => mostM3)),
    entitledM3: sum(ofWeek, (claim) => claim.entitledM3),
    receivedM3: sum(ofWeek, (claim) => claim.receivedM3) + elsewhereM3,
    tier: ofWeek.length > 0 ? Math.min(...ofWeek.map((claim) => claim.tier)) : lastTier(results),
  }
}

/** A turn booked by a plot without a claim comes after all that have one. */
function lastTier({ allocationInput }: ReshareInput['results']): number {
  return Math.max(0, ...allocationInput.claims.map((claim) => claim.tier)) + 1
}

function outletM3(input: ReshareInput, outletId: Id<'outlet'>, { flowM3 }: RestOfDay): number {
  const most = outletM3PerMinute(input, outletId)
  return downToLitreM3(sum(flowM3, (perMinute) => Math.min(most, perMinute)))
}

function resharedTurn({ fromMinute }: ReshareInput, laid: Laid, { drawnM3, drawnBy }: Open): ResharedTurn {
  const { turn: was, carriedM3, stretch } = laid
  const shortM3 = toLitreM3(was.volumeM3 - drawnM3 - carriedM3)
  const part = { drawnM3, drawnBy, carriedM3, stretch }
  return { was, now: nowOf(was, part, fromMinute), ...part, shortM3 }
}

type Part = Pick<ResharedTurn, 'drawnM3' | 'drawnBy' | 'carriedM3' | 'stretch'>

/** The turn as it holds now; one that was running by the plan keeps its start and what it has drawn. */
function nowOf(was: PlannedTurn, part: Part, fromMinute: number): PlannedTurn | null {
  const { drawnM3, drawnBy, carriedM3, stretch } = part
  const isGoingOn = drawnBy === 'plan' && drawnM3 > 0
  const volumeM3 = toLitreM3(carriedM3 + (isGoingOn ? drawnM3 : 0))
  if (volumeM3 <= 0) return null
  const startMinute = isGoingOn ? was.startMinute : stretch!.startMinute
  const endMinute = stretch?.endMinute ?? Math.min(fromMinute, was.endMinute)
  return { ...was, startMinute, endMinute, volumeM3, hours: (endMinute - startMinute) / 60 }
}

/** What a turn has drawn when the day changes, and whether the log says so or only the plan. */
interface Drawn {
  drawnM3: M3
  /** Null for a turn that had not begun. */
  drawnBy: 'log' | 'plan' | null
}

/** The log counts where it has an entry for the turn; else what the plan had brought by then, at most the turn. */
function drawnSoFar(input: ReshareInput, turn: PlannedTurn): Drawn {
  const loggedM3 = input.loggedM3?.[turn.id]
  if (loggedM3 !== undefined) return { drawnM3: downToLitreM3(Math.min(turn.volumeM3, loggedM3)), drawnBy: 'log' }
  if (turn.startMinute >= input.fromMinute) return { drawnM3: 0, drawnBy: null }
  return { drawnM3: Math.min(turn.volumeM3, downToLitreM3(drawnByPlan(input, turn))), drawnBy: 'plan' }
}

/** Minute by minute as planned: whoever is earlier on the list draws first. */
function drawnByPlan(input: ReshareInput, turn: PlannedTurn): number {
  const { inputs, on, pumpId, fromMinute, turns } = input
  const flow = inputs.pumps.find((pump) => pump.id === pumpId)?.flowM3PerHByDay[on] ?? []
  const earlier = turns.filter((one) => one !== turn && isBefore(one, turn))
  let drawnM3 = 0
  for (let minute = turn.startMinute; minute < Math.min(fromMinute, turn.endMinute); minute++) {
    let leftM3 = (flow[Math.floor(minute / 60)] ?? 0) / 60
    for (const one of earlier)
      if (one.startMinute <= minute && one.endMinute > minute)
        leftM3 = Math.max(0, leftM3 - outletM3PerMinute(input, one.outletId))
    drawnM3 += Math.min(outletM3PerMinute(input, turn.outletId), leftM3)
  }
  return drawnM3
}

/** The order of a pump's list. */
function byList(a: PlannedTurn, b: PlannedTurn): number {
  return a.startMinute - b.startMinute || a.order - b.order || (a.id < b.id ? -1 : 1)
}

function isBefore(a: PlannedTurn, b: PlannedTurn): boolean {
  return byList(a, b) < 0
}
