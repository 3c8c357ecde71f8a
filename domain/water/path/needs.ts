import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'

/** One plot's gross need by week, and the outlets through which it can be watered. */
interface PlotNeeds {
  /** m3, this week's first. */
  needsM3: readonly number[]
  outlets: readonly { weirId: Id<'weir'>; flowM3PerH: number }[]
}

/**
 * The gross need of each weir's plots by week, m3. A plot with outlets on two weirs counts in each by its part of the
 * outlet flow, and by number of outlets where no flow was measured; a plot without an outlet counts nowhere.
 */
export function needsByWeir({ plots }: { plots: readonly PlotNeeds[] }): Map<string, number[]> {
  const byWeir = new Map<string, number[]>()
  for (const { needsM3, outlets } of plots) {
    const flowM3PerH = sum(outlets, (outlet) => outlet.flowM3PerH)
    for (const outlet of outlets) {
      const part = flowM3PerH > 0 ? outlet.flowM3PerH / flowM3PerH : 1 / outlets.length
      const sums = byWeir.get(outlet.weirId) ?? []
      needsM3.forEach((needM3, week) => {
        sums[week] = (sums[week] ?? 0) + part * needM3
      })
      byWeir.set(outlet.weirId, sums)
    }
  }
  return byWeir
}
