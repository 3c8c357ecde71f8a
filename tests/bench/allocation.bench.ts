import { allocate } from '../../domain/rotation/allocation/allocate.ts'
import { exactM3 } from '../rotation/allocation/exact.ts'
import { type NetworkSize, randomNetwork } from '../rotation/allocation/networks.ts'
import { fastestMs, shown } from './measure.ts'
import { levelsByHighs, type Network, openHighs } from './weeks/highs-levels.ts'

const SIZES: (NetworkSize & { networks: number; runs: number })[] = [
  { claims: 60, weirs: 4, pumps: 3, outlets: 24, networks: 5, runs: 15 },
  { claims: 200, weirs: 6, pumps: 8, outlets: 64, networks: 5, runs: 5 },
  { claims: 1000, weirs: 20, pumps: 30, outlets: 240, networks: 1, runs: 1 },
]

/** Our allocation, with its split over outlets, rounding and reasons, beside the bare levels by the solver HiGHS. */
export async function run(): Promise<string[]> {
  const highs = await openHighs()
  return SIZES.map(({ networks, runs, ...size }) => {
    const inputs = Array.from({ length: networks }, (_, at) => oneTier(randomNetwork(1000 + at, size)))
    let theirs: Map<string, number>[] = []
    const theirsMs = fastestMs(runs, () => {
      theirs = inputs.map((network) => levelsByHighs(highs, network))
    })
    for (const [at, network] of inputs.entries()) expectSame(network, theirs[at]!)
    const oursMs = fastestMs(20, () => inputs.map(allocate))
    const each = `${shown(oursMs / networks)} ms, by HiGHS ${shown(theirsMs / networks)} ms`
    return `${size.claims} claims: ${each}, ${shown(theirsMs / oursMs)} times as long (goal: at least 20)`
  })
}

function oneTier(network: Network): Network {
  return { ...network, claims: network.claims.map((claim) => ({ ...claim, tier: 0, minimumM3: 0 })) }
}

function expectSame(network: Network, theirs: ReadonlyMap<string, number>): void {
  const ours = exactM3(network)
  const volumeM3 = Math.max(
    1,
    [...theirs.values()].reduce((sum, amount) => sum + amount, 0),
  )
  for (const [id, amountM3] of theirs) {
    if (Math.abs(ours[id]! - amountM3) > 1e-6 * volumeM3) throw new Error(`${id}: ${ours[id]} against ${amountM3}`)
  }
}
