import { LITRES_PER_M3, litresToM3 } from '../units.ts'
import { allocate } from './allocate.ts'
import type { Claim } from './allocation-types.ts'
import { drawnUntil, flowOfDay, layDay, shortOf, type ToLay } from './reshare-layout.ts'
import { plotOfClaim } from './rule-claims.ts'
import type { PlannedTurn } from './timetable-types.ts'
import type { PlannedWeek, WeekInputs } from './week-plan.ts'

export interface ReshareInput {
  inputs: WeekInputs
  results: Pick<PlannedWeek, 'allocationInput'>
  on: string
  pumpId: string
  /** From when the day is another one, in minutes after midnight. */
  fromMinute: number
  /** What the pump is expected to give by clock hour from then on. */
  flowM3PerHByHour: readonly number[]
  /** Nothing comes before this minute; 1440 for a pump that stays down all day. */
  downUntilMinute?: number
  /** All turns of the pump that stand on the day. */
  turns: readonly PlannedTurn[]
  /** Which of them are still to come or running. */
  openIds: ReadonlySet<string>
  /** What each plot's turns of the whole week come to, those that were missed left out. */
  weekM3ByPlot: Readonly<Record<string, number>>
}

export interface ResharedTurn {
  was: PlannedTurn
  /** Null for a turn that gets nothing any more. */
  now: PlannedTurn | null
  /** Of the turn's volume, drawn before the day changed, by the plan. */
  drawnM3: number
  shortM3: number
}

export interface ResharedDay {
  /** What the pump still gives on the day. */
  remainingM3: number
  turns: ResharedTurn[]
}

/**
 * Shares the rest of a pump's day anew among the turns that are still to come or running: their claims are what is left of
 * their volumes, raised together by the level (received + allocated) / entitled as in the week itself, with the water of the
 * plot's other turns counted as received. Changing over costs minutes, so the most that finds its place is looked for, litre
 * by litre, by halving. The order of the list stays; nobody is called before the agreed time unless the water would not fit
 * otherwise.
 */
export function reshareDay(input: ReshareInput): ResharedDay {
  const flow = flowOfDay(input)
  const open = openTurns(input)
  const remainingM3 = wholeLitres(flow.reduce((sum, perMinute) => sum + perMinute, 0))
  const laidFor = (litres: number) => layDay(input, flow, allocateRest(input, open, flow, litresToM3(litres)))
  let [placed, beyond] = [0, Math.round(remainingM3 * LITRES_PER_M3) + 1]
  let laid = laidFor(0)
  for (let litres = beyond - 1; placed + 1 < beyond; litres = Math.floor((placed + beyond) / 2)) {
    const tried = laidFor(litres)
    if (shortOf(tried) > 0.001) beyond = litres
    else [placed, laid] = [litres, tried]
  }
  return { remainingM3, turns: laid.map(({ turn, drawnM3, now }) => resharedTurn(turn, drawnM3, now)) }
}

type Open = { turn: PlannedTurn; drawnM3: number; restM3: number }

function openTurns(input: ReshareInput): Open[] {
  return input.turns
    .filter((turn) => input.openIds.has(turn.id))
    .sort((a, b) => a.startMinute - b.startMinute || a.order - b.order || (a.id < b.id ? -1 : 1))
    .map((turn) => {
      const drawnM3 = Math.min(turn.volumeM3, wholeLitres(drawnUntil(input, turn)))
      return { turn, drawnM3, restM3: roundLitres(turn.volumeM3 - drawnM3) }
    })
    .filter(({ restM3 }) => restM3 > 0)
}

/** The level raised again among the open turns, within what the pump and each outlet still bring. */
function allocateRest(input: ReshareInput, open: readonly Open[], flow: Float64Array, pumpM3: number): ToLay[] {
  const { inputs, pumpId } = input
  const weirId = inputs.pumps.find((pump) => pump.id === pumpId)!.weirId
  const outletIds = [...new Set(open.map(({ turn }) => turn.outletId))]
  const allocation = allocate({
    weirs: [{ id: weirId, releasableM3: pumpM3 }],
    pumps: [{ id: pumpId, weirId, weekM3: pumpM3 }],
    outlets: outletIds.map((id) => ({ id, pumpId, weekM3: outletM3(inputs, id, flow) })),
    claims: [...new Set(open.map(({ turn }) => turn.plotId))].map((plotId) => claimOf(input, open, plotId)),
  })
  const byPlot = new Map(allocation.claims.map((claim) => [claim.id, claim]))
  return open.map(({ turn, drawnM3 }) => ({
    turn,
    drawnM3,
    wantedM3: byPlot.get(turn.plotId)?.byOutletM3[turn.outletId] ?? 0,
  }))
}

function claimOf({ results, weekM3ByPlot }: ReshareInput, open: readonly Open[], plotId: string): Claim {
  const own = open.filter(({ turn }) => turn.plotId === plotId)
  const ofWeek = results.allocationInput.claims.filter((claim) => plotOfClaim(claim.id) === plotId)
  const needM3 = roundLitres(own.reduce((sum, { restM3 }) => sum + restM3, 0))
  const elsewhereM3 = Math.max(0, (weekM3ByPlot[plotId] ?? needM3) - needM3)
  return {
    id: plotId,
    outletIds: own.map(({ turn }) => turn.outletId),
    needM3,
    entitledM3: ofWeek.reduce((sum, claim) => sum + claim.entitledM3, 0),
    receivedM3: ofWeek.reduce((sum, claim) => sum + claim.receivedM3, 0) + elsewhereM3,
    tier: ofWeek.length > 0 ? Math.min(...ofWeek.map((claim) => claim.tier)) : lastTier(results),
  }
}

/** A turn booked by a plot without a claim comes after all that have one. */
function lastTier({ allocationInput }: ReshareInput['results']): number {
  return Math.max(0, ...allocationInput.claims.map((claim) => claim.tier)) + 1
}

function outletM3({ outlets }: WeekInputs, outletId: string, flow: Float64Array): number {
  const most = outlets.find((outlet) => outlet.id === outletId)!.flowM3PerH / 60
  return wholeLitres(flow.reduce((sum, perMinute) => sum + Math.min(most, perMinute), 0))
}

function resharedTurn(was: PlannedTurn, drawnM3: number, now: PlannedTurn | null): ResharedTurn {
  return { was, now, drawnM3, shortM3: roundLitres(was.volumeM3 - (now?.volumeM3 ?? 0)) }
}

function roundLitres(volumeM3: number): number {
  return Math.round(volumeM3 * 1000) / 1000
}

function wholeLitres(volumeM3: number): number {
  return Math.floor(volumeM3 * 1000 + 1e-6) / 1000
}
