import { ascending } from 'd3-array'
import type { Id } from '../../id.ts'
import type { Stage } from '../crop/stages.ts'

interface SensitivePlot {
  id: Id<'plot'>
  stage: Stage
  perennial: boolean
  /** Seasonal yield response factor; null where none is published, which ranks as 1. */
  yieldResponse: number | null
}

export interface SensitivityRank {
  id: Id<'plot'>
  /** 1 suffers most; plots that cannot be told apart share a rank. */
  rank: number
  why: 'perennial' | 'flowering-and-fruit-set' | 'seedling' | 'growing' | 'ripening'
  factorAssumed: boolean
}

/**
 * Which plots suffer most from a cut, as an order and nothing more: flowering and fruit set, seedlings and perennials first,
 * then growing crops, ripening ones last; within each by the yield response factor.
 * Factors: FAO-56 (1998), Table 24. The order of the stages: common practice, no source.
 */
export function sensitivityOrder({ plots }: { plots: readonly SensitivePlot[] }): SensitivityRank[] {
  const sorted = [...plots].sort((a, b) => compare(a, b) || ascending(a.id, b.id))
  let rank = 0
  return sorted.map((plot, index) => {
    if (index === 0 || compare(sorted[index - 1]!, plot) !== 0) rank = index + 1
    return { id: plot.id, rank, why: reason(plot), factorAssumed: plot.yieldResponse === null }
  })
}

function compare(a: SensitivePlot, b: SensitivePlot): number {
  return group(a) - group(b) || (b.yieldResponse ?? 1) - (a.yieldResponse ?? 1)
}

function group(plot: SensitivePlot): number {
  if (plot.perennial || plot.stage === 'initial' || plot.stage === 'mid-season') return 0
  return plot.stage === 'development' ? 1 : 2
}

function reason(plot: SensitivePlot): SensitivityRank['why'] {
  if (plot.perennial) return 'perennial'
  if (plot.stage === 'initial') return 'seedling'
  if (plot.stage === 'mid-season') return 'flowering-and-fruit-set'
  return plot.stage === 'development' ? 'growing' : 'ripening'
}
