import { ascending } from 'd3-array'
import type { CalendarDate } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import type { Id } from '../allocation/types.ts'

export interface Plot {
  id: Id
  areaM2: number
  persons?: number
  /** This week's need; null where it was not reckoned. */
  needM3?: M3 | null
  /** The weirs that its outlets can draw from; all of them where this is left out. */
  weirIds?: readonly Id[]
}

/** A plot's shares from a date on, until its next row. */
export interface ShareRow {
  plotId: Id
  shares: number
  fromOn: CalendarDate
}

export interface EntitlementMix {
  /** How much each way of sharing counts; only the proportions matter. */
  weights: Partial<Record<Basis, number>>
  /** Area beyond this counts for nothing. */
  areaCapM2?: number
}

type Basis = 'equal' | 'area' | 'share' | 'persons' | 'need'

const BASES: readonly Basis[] = ['equal', 'area', 'share', 'persons', 'need']

/**
 * The part of each plot in a body of water, as fractions that add up to 1 (no plots, no parts). Each basis shares by
 * itself and the results are mixed by weight. Where the need of a plot was not reckoned, or nobody needs anything, the
 * area stands in for the need of all. InputError `mix-empty` without weights, `basis-empty` where a basis that
 * counts is zero for everyone: then nobody can say what the parts are.
 */
export function partsOf({
  plots,
  shares,
  mix,
  onDate,
}: {
  plots: readonly Plot[]
  shares: readonly ShareRow[]
  mix: EntitlementMix
  onDate: CalendarDate
}): Map<Id, number> {
  const parts = new Map(plots.map(({ id }) => [id, 0]))
  if (plots.length === 0) return parts
  const weightOf = (basis: Basis) => notBelowZero(basis, mix.weights[basis] ?? 0)
  const totalWeight = sum(BASES, (basis) => weightOf(basis))
  if (totalWeight === 0) throw new InputError('mix-empty')
  const heldShares = sharesOn(shares, onDate)
  const needTells = plots.every(({ needM3 }) => typeof needM3 === 'number') && plots.some(({ needM3 }) => needM3! > 0)
  for (const basis of BASES.filter((each) => weightOf(each) > 0)) {
    const measure = basis === 'need' && !needTells ? 'area' : basis
    const sizes = plots.map((plot) => notBelowZero(basis, sizeBy(measure, plot, mix, heldShares)))
    const total = sum(sizes)
    if (total === 0) throw new InputError('basis-empty', { basis, onDate })
    plots.forEach(({ id }, index) => {
      parts.set(id, parts.get(id)! + ((weightOf(basis) / totalWeight) * sizes[index]!) / total)
    })
  }
  return parts
}

function sizeBy(basis: Basis, plot: Plot, mix: EntitlementMix, heldShares: ReadonlyMap<Id, number>): number {
  if (basis === 'equal') return 1
  if (basis === 'area') return Math.min(plot.areaM2, mix.areaCapM2 ?? Number.POSITIVE_INFINITY)
  if (basis === 'need') return plot.needM3 ?? 0
  return basis === 'share' ? (heldShares.get(plot.id) ?? 0) : (plot.persons ?? 0)
}

function sharesOn(shares: readonly ShareRow[], onDate: CalendarDate): Map<Id, number> {
  const started = shares.filter(({ fromOn }) => fromOn <= onDate)
  started.sort((a, b) => ascending(a.fromOn, b.fromOn))
  return new Map(started.map((row) => [row.plotId, row.shares]))
}

function notBelowZero(basis: Basis, value: number): number {
  if (!(value >= 0) || value === Number.POSITIVE_INFINITY) throw new InputError('basis-below-zero', { basis, value })
  return value
}
