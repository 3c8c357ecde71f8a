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

interface Way {
  claim: number
  outlet: number
  arc: number
}

/**
 * Says through which outlets the allocated litres come. Several splits may fit; one is chosen by rule, so that it never
 * depends on chance: first as much as possible from the first weir (most days of cover, then lowest id), then from the
 * second and so on; then, claim by claim in the order of ids, as much as possible through its first outlet, its second...
 * At last, crumbs go to an outlet that runs for the same claim anyway.
 */
export function splitOverOutlets(network: AllocationNetwork, litres: readonly number[]): OutletSplit {
  const claimCount = network.claims.length
  const limitNode = (limit: number) => 1 + claimCount + limit
  const sink = limitNode(network.limits.length)
  const flows = new FlowNetwork(sink + 1)
  const ways: Way[] = network.claims.flatMap(({ group }, claim) => {
    flows.addArc(0, 1 + claim, BigInt(litres[claim]!))
    return network.waysOfGroup[group]!.map((outlet) => ({
      claim,
      outlet,
      arc: flows.addArc(1 + claim, limitNode(outlet), BigInt(litres[claim]!)),
    }))
  })
  const weirArcs: { arc: number; limit: number }[] = []
  network.limits.forEach(({ capacity, parent }, limit) => {
    const capacityLitres = BigInt(Math.floor(capacity / UNITS_PER_LITRE))
    if (parent >= 0) flows.addArc(limitNode(limit), limitNode(parent), capacityLitres)
    else weirArcs.push({ limit, arc: flows.addArc(limitNode(limit), sink, 0n) })
  })
  drawWeirByWeir(network, litres, flows, sink, weirArcs)
  preferFirstOutlets(flows, ways, limitNode)
  const split = ways.map(({ claim, outlet, arc }) => ({ claim, outlet, litres: Number(flows.flowOn(arc)) }))
  return readSplit(network, gatherCrumbs(network, split))
}

/** An augmenting path never takes back what already reaches the sink, so each weir in turn gives the most it can. */
function drawWeirByWeir(
  network: AllocationNetwork,
  litres: readonly number[],
  flows: FlowNetwork,
  sink: number,
  weirArcs: readonly { arc: number; limit: number }[],
): void {
  const wanted = BigInt(sum(litres))
  let drawn = 0n
  for (const { arc, limit } of weirArcs) {
    flows.room[arc] = BigInt(Math.floor(network.limits[limit]!.capacity / UNITS_PER_LITRE))
    drawn += flows.pushFlow(0, sink, wanted - drawn)
  }
  if (drawn !== wanted) throw new Error(`the network carries ${drawn} of ${wanted} allocated litres`)
  for (const { arc } of weirArcs) flows.close(arc)
}

/** Moves each claim's water to its earlier outlets along cycles that leave every weir's draw and all earlier choices alone. */
function preferFirstOutlets(flows: FlowNetwork, ways: readonly Way[], limitNode: (limit: number) => number): void {
  for (let at = 0; at < ways.length; at++) {
    const { claim, outlet, arc } = ways[at]!
    let later = 0n
    for (let next = at + 1; ways[next]?.claim === claim; next++) later += flows.flowOn(ways[next]!.arc)
    const room = flows.room[arc]!
    flows.close(arc)
    if (later > 0n) flows.raiseClosed(arc, flows.pushFlow(limitNode(outlet), 1 + claim, room < later ? room : later))
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
