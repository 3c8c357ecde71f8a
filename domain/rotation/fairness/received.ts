import { ascending, fsum, group } from 'd3-array'
import type { Id } from '../../id.ts'
import { exactM3, type M3 } from '../../units.ts'

interface Delivery {
  plotId: Id<'plot'>
  volumeM3: M3
  uncertaintyM3: M3
  grade: 'measured' | 'estimated'
}

interface ReceivedByPlot {
  plotId: Id<'plot'>
  volumeM3: M3
  measuredM3: M3
  estimatedM3: M3
  /** Errors of one plot's turns taken as leaning the same way, so added. */
  uncertaintyM3: M3
}

/** What each plot received, measured and estimated kept apart, by plot id. */
export function receivedByPlot({ deliveries }: { deliveries: readonly Delivery[] }): ReceivedByPlot[] {
  const plots = [...group(deliveries, (delivery) => delivery.plotId)]
  return plots
    .map(([plotId, ofPlot]) => ({
      plotId,
      volumeM3: sum(ofPlot),
      measuredM3: sum(ofPlot.filter((delivery) => delivery.grade === 'measured')),
      estimatedM3: sum(ofPlot.filter((delivery) => delivery.grade === 'estimated')),
      uncertaintyM3: fsum(ofPlot, (delivery) => delivery.uncertaintyM3),
    }))
    .toSorted((a, b) => ascending(a.plotId, b.plotId))
}

function sum(deliveries: readonly Delivery[]): number {
  return exactM3(fsum(deliveries, (delivery) => delivery.volumeM3))
}
