import { LITRES_PER_M3, wholeLitresDown } from '../../units.ts'
import type { Allocation, AllocationInput } from './types.ts'

interface Arc {
  from: number
  to: number
  capacity: number
  /** For the arc from a claim to an outlet: what was published. */
  published: number
}

/** The published water as a flow in litres, in which more can be looked for, by the shortest free path each time (Edmonds and Karp 1972). */
export class SparePaths {
  private readonly arcs: Arc[] = []
  private readonly arcsAt: number[][] = []
  private readonly claimCount: number
  private readonly sink: number
  private flow: number[] = []

  constructor(input: AllocationInput, allocation: Allocation) {
    this.claimCount = input.claims.length
    const firstOutlet = this.claimCount
    const tanks = input.tanks ?? []
    const firstTank = firstOutlet + input.outlets.length
    const firstPump = firstTank + tanks.length
    const firstWeir = firstPump + input.pumps.length
    this.sink = firstWeir + input.weirs.length
    const published = new Map(allocation.claims.map(({ id, byOutletM3 }) => [id, byOutletM3]))
    const indexOf = (things: readonly { id: string }[]) => new Map(things.map(({ id }, index) => [id, index]))
    const outletAt = indexOf(input.outlets)
    const tankAt = indexOf(tanks)
    const pumpAt = indexOf(input.pumps)
    const weirAt = indexOf(input.weirs)
    input.claims.forEach(({ id, outletIds }, claim) => {
      for (const outlet of new Set(outletIds)) {
        const litres = Math.round((published.get(id)![outlet] ?? 0) * LITRES_PER_M3)
        this.addArc(claim, firstOutlet + outletAt.get(outlet)!, Number.POSITIVE_INFINITY, litres)
      }
    })
    input.outlets.forEach(({ pumpId, tankId, weekM3 }, index) => {
      const source = tankId === undefined ? firstPump + pumpAt.get(pumpId)! : firstTank + tankAt.get(tankId)!
      this.addArc(firstOutlet + index, source, wholeLitresDown(weekM3), 0)
    })
    tanks.forEach(({ pumpId, weekM3 }, index) => {
      this.addArc(firstTank + index, firstPump + pumpAt.get(pumpId)!, wholeLitresDown(weekM3), 0)
    })
    input.pumps.forEach(({ weirId, weekM3 }, index) => {
      this.addArc(firstPump + index, firstWeir + weirAt.get(weirId)!, wholeLitresDown(weekM3), 0)
    })
    input.weirs.forEach(({ releasableM3 }, index) => {
      this.addArc(firstWeir + index, this.sink, wholeLitresDown(releasableM3), 0)
    })
  }

  /** Begins again with each claim keeping so many litres of what was published for it. */
  startFrom(keeps: readonly number[]): void {
    const left = [...keeps]
    const inflow = new Array<number>(this.sink + 1).fill(0)
    this.flow = this.arcs.map(({ from, to, published }) => {
      const litres = from < this.claimCount ? Math.min(published, left[from]!) : inflow[from]!
      if (from < this.claimCount) left[from]! -= litres
      inflow[to]! += litres
      return litres
    })
  }

  /** Leads more water to a claim, rerouting others but taking nothing from them; returns how many litres, up to `most`. */
  giveMore(claim: number, most: number): number {
    let given = 0
    while (given < most) {
      const path = this.freePath(claim)
      if (!path) break
      const litres = Math.min(most - given, ...path.map(({ arc, forward }) => this.room(arc, forward)))
      for (const { arc, forward } of path) this.flow[arc]! += forward ? litres : -litres
      given += litres
    }
    return given
  }

  private freePath(claim: number): { arc: number; forward: boolean }[] | null {
    const cameBy = new Map<number, { arc: number; forward: boolean } | null>([[claim, null]])
    const queue = [claim]
    for (let at = 0; at < queue.length && !cameBy.has(this.sink); at++) {
      const node = queue[at]!
      for (const arc of this.arcsAt[node]!) {
        const forward = this.arcs[arc]!.from === node
        const next = forward ? this.arcs[arc]!.to : this.arcs[arc]!.from
        if (cameBy.has(next) || this.room(arc, forward) <= 0) continue
        cameBy.set(next, { arc, forward })
        queue.push(next)
      }
    }
    if (!cameBy.has(this.sink)) return null
    const path: { arc: number; forward: boolean }[] = []
    for (let step = cameBy.get(this.sink); step; ) {
      path.push(step)
      const { from, to } = this.arcs[step.arc]!
      step = cameBy.get(step.forward ? from : to)
    }
    return path
  }

  private room(arc: number, forward: boolean): number {
    return forward ? this.arcs[arc]!.capacity - this.flow[arc]! : this.flow[arc]!
  }

  private addArc(from: number, to: number, capacity: number, published: number): void {
    const arc = this.arcs.push({ from, to, capacity, published }) - 1
    for (const node of [from, to]) {
      this.arcsAt[node] ??= []
      this.arcsAt[node].push(arc)
    }
  }
}
