import type { Litres } from '../../units.ts'
import { type AllocationNetwork, UNITS_PER_LITRE } from './network.ts'

/** Litres of a claim that come through one of its outlets. */
export interface WayLitres {
  claim: number
  outlet: number
  litres: Litres
}

/** Five jerrycans: nobody opens a second valve for less. Common practice, no source. */
export const CRUMB_LITRES = 100

/**
 * Takes what is a crumb at one outlet to another outlet of the same claim that runs anyway, where that one, its pump and
 * its weir have room for it. Nobody's volume changes; only the rule by which it is split gives way by a few jerrycans.
 */
export function gatherCrumbs(network: AllocationNetwork, ways: readonly WayLitres[]): WayLitres[] {
  const gathered = ways.map((way) => ({ ...way }))
  const room = roomAfter(network, gathered)
  for (const crumb of gathered) {
    if (crumb.litres >= CRUMB_LITRES) continue
    const better = gathered
      .filter(({ claim, litres }) => claim === crumb.claim && litres > crumb.litres)
      .find(({ outlet }) => roomFor(network, room, { from: crumb.outlet, to: outlet }) >= crumb.litres)
    if (!better) continue
    for (const limit of chainOf(network, crumb.outlet)) room[limit]! += crumb.litres
    for (const limit of chainOf(network, better.outlet)) room[limit]! -= crumb.litres
    better.litres += crumb.litres
    crumb.litres = 0
  }
  return gathered
}

function roomAfter(network: AllocationNetwork, ways: readonly WayLitres[]): number[] {
  const room = network.limits.map(({ capacity }) => Math.floor(capacity / UNITS_PER_LITRE))
  for (const { outlet, litres } of ways) for (const limit of chainOf(network, outlet)) room[limit]! -= litres
  return room
}

/** What an outlet can take on; the pump or weir that both outlets share carries it already. */
function roomFor(network: AllocationNetwork, room: readonly number[], { from, to }: { from: number; to: number }) {
  const shared = new Set(chainOf(network, from))
  return Math.min(
    ...chainOf(network, to)
      .filter((limit) => !shared.has(limit))
      .map((limit) => room[limit]!),
  )
}

/** An outlet with everything that its water passes: tank, pump and weir. */
export function chainOf({ limits }: AllocationNetwork, outlet: number): number[] {
  const chain: number[] = []
  for (let limit = outlet; limit >= 0; limit = limits[limit]!.parent) chain.push(limit)
  return chain
}
