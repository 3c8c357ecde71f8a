import { sum } from '../../sum.ts'
import { LITRES_PER_M3 } from '../../units.ts'
import { FlowNetwork } from './flow-network.ts'
import { type AllocationNetwork, UNITS_PER_LITRE } from './network.ts'
import { chainOf, gatherCrumbs, type WayLitres } from './outlet-crumbs.ts'
import type { Id } from './types.ts'

interface OutletSplit {
  /** In the order of the network's claims; outlets that give nothing are left out. */
  byOutletM3: Record<Id, number>[]
  drawnLitresByWeir: Record<Id, number>
}

/** One way of a claim in the network: from its node along its arc. */
interface Way {
  way: WayLitres
  from: number
  arc: number
}

/**
 * Says through which outlets the allocated litres come. Several splits may fit; one is chosen by rule, so that it never
 * depends on chance: first as much as possible from the first weir (most days of cover, then lowest id), then from the
 * second and so on; then, claim by claim in the order of ids, as much as possible through its first outlet, its second...
 * At last, crumbs go to an outlet that runs for the same claim anyway.
 */
export function splitOverOutlets(network: AllocationNetwork, litres: readonly number[]): OutletSplit {
  const room = network.limits.map(({ capacity }) => Math.floor(capacity / UNITS_PER_LITRE))
  const split = network.claims.flatMap(({ group }, claim) =>
    network.waysOfGroup[group]!.map((outlet): WayLitres => ({ claim, outlet, litres: 0 })),
  )
  const several = split.filter((way, at) => split[at - 1]?.claim === way.claim || split[at + 1]?.claim === way.claim)
  const isSeveral = new Set(several)
  for (const way of split) if (!isSeveral.has(way)) takeOnlyWay(network, room, way, litres[way.claim]!)
  chooseWays(network, { room, several, litres })
  return readSplit(network, gatherCrumbs(network, split))
}

/** A claim with one outlet has no choice: its water comes first, and what it leaves is split among the others. */
function takeOnlyWay(network: AllocationNetwork, room: number[], way: WayLitres, litres: number): void {
  way.litres = litres
  for (const limit of chainOf(network, way.outlet)) room[limit]! -= litres
}

/** The litres of claims with several ways, written into `several`, which stand claim by claim. */
function chooseWays(
  network: AllocationNetwork,
  { room, several, litres }: { room: readonly number[]; several: WayLitres[]; litres: readonly number[] },
): void {
  const claims = [...new Set(several.map(({ claim }) => claim))]
  const nodeOf = new Map(claims.map((claim, at) => [claim, 1 + at]))
  const limitNode = (limit: number) => 1 + claims.length + limit
  const sink = limitNode(network.limits.length)
  const flows = new FlowNetwork(sink + 1)
  for (const claim of claims) flows.addArc(0, nodeOf.get(claim)!, BigInt(litres[claim]!))
  const ways = several.map((way): Way => {
    const from = nodeOf.get(way.claim)!
    return { way, from, arc: flows.addArc(from, limitNode(way.outlet), BigInt(litres[way.claim]!)) }
  })
  const weirArcs: { arc: number; limit: number }[] = []
  network.limits.forEach(({ parent }, limit) => {
    if (parent >= 0) flows.addArc(limitNode(limit), limitNode(parent), BigInt(room[limit]!))
    else weirArcs.push({ limit, arc: flows.addArc(limitNode(limit), sink, 0n) })
  })
  const wanted = BigInt(sum(claims, (claim) => litres[claim]!))
  drawWeirByWeir(flows, { room, wanted, sink, weirArcs })
  preferFirstOutlets(flows, ways, limitNode)
  for (const { way, arc } of ways) way.litres = Number(flows.flowOn(arc))
}

/** An augmenting path never takes back what already reaches the sink, so each weir in turn gives the most it can. */
function drawWeirByWeir(
  flows: FlowNetwork,
  given: { room: readonly number[]; wanted: bigint; sink: number; weirArcs: readonly { arc: number; limit: number }[] },
): void {
  const { room, wanted, sink, weirArcs } = given
  let drawn = 0n
  for (const { arc, limit } of weirArcs) {
    flows.room[arc] = BigInt(room[limit]!)
    drawn += flows.pushFlow(0, sink, wanted - drawn)
  }
  if (drawn !== wanted) throw new Error(`the network carries ${drawn} of ${wanted} allocated litres`)
  for (const { arc } of weirArcs) flows.close(arc)
}

/** Moves each claim's water to its earlier outlets along cycles that leave every weir's draw and all earlier choices alone. */
function preferFirstOutlets(flows: FlowNetwork, ways: readonly Way[], limitNode: (limit: number) => number): void {
  for (let at = 0; at < ways.length; at++) {
    const { from, way, arc } = ways[at]!
    let later = 0n
    for (let next = at + 1; ways[next]?.from === from; next++) later += flows.flowOn(ways[next]!.arc)
    const room = flows.room[arc]!
    flows.close(arc)
    if (later > 0n) flows.raiseClosed(arc, flows.pushFlow(limitNode(way.outlet), from, room < later ? room : later))
  }
}

function readSplit(network: AllocationNetwork, ways: readonly WayLitres[]): OutletSplit {
  const byOutletM3 = network.claims.map((): Record<Id, number> => ({}))
  const drawn = network.limits.flatMap(({ parent }, limit): [number, number][] => (parent < 0 ? [[limit, 0]] : []))
  const drawnLitres = new Map(drawn)
  for (const { claim, outlet, litres } of ways) {
    if (litres === 0) continue
    byOutletM3[claim]![network.names[outlet]!.id] = litres / LITRES_PER_M3
    const weir = chainOf(network, outlet).at(-1)!
    drawnLitres.set(weir, drawnLitres.get(weir)! + litres)
  }
  const byWeir = [...drawnLitres].map(([weir, litres]): [Id, number] => [network.names[weir]!.id, litres])
  return { byOutletM3, drawnLitresByWeir: Object.fromEntries(byWeir) }
}
