import { InputError } from '../input-error.ts'
import { type Minor, minor, sumMinor } from '../money/money.ts'
import type { M3 } from '../units.ts'

interface FeeProposalInput {
  /** Yearly, by any names the group uses: stipend, spares, repairs, committee. */
  yearlyCostsMinor: Readonly<Record<string, number>>
  /** What has to be bought again, spread over its years of life. */
  replacements: readonly { priceMinor: number; lifeYears: number }[]
  /** Volume expected to be paid for in a year, not the volume pumped. */
  paidVolumeM3: { cautious: number; middle: number }
  plots: number
  /** A small, a middle and a large plot, or any others. */
  examples: readonly { name: string; yearlyM3: M3 }[]
  /** The part of the costs that a mixed tariff raises as a flat fee; a half unless said otherwise. */
  flatFraction?: number
}

export interface FeeLevel {
  pricePerM3Minor: Minor
  flatPerPlotMinor: Minor
  mixed: { flatPerPlotMinor: Minor; pricePerM3Minor: Minor }
  examples: { name: string; byVolumeMinor: Minor; flatMinor: Minor; mixedMinor: Minor }[]
}

interface FeeProposal {
  yearlyCostMinor: Minor
  replacementMinor: Minor
  cautious: FeeLevel
  middle: FeeLevel
}

/**
 * The fee that keeps the pump: (yearly costs + replacement price / years of life) / volume expected to be paid for, at a
 * cautious and a middle volume. Prices are rounded up to whole minor units, since a fee rounded down falls short.
 * Source: common practice, no source.
 */
export function feeProposal(input: FeeProposalInput): FeeProposal {
  const replacementMinor = sumMinor(input.replacements.map(yearlyReplacement))
  const yearlyCostMinor = sumMinor([...Object.values(input.yearlyCostsMinor), replacementMinor])
  const at = (paidM3: M3) => feeLevel(input, yearlyCostMinor, paidM3)
  return {
    yearlyCostMinor,
    replacementMinor,
    cautious: at(input.paidVolumeM3.cautious),
    middle: at(input.paidVolumeM3.middle),
  }
}

function yearlyReplacement({ priceMinor, lifeYears }: FeeProposalInput['replacements'][number]): number {
  if (!(lifeYears > 0)) throw new InputError('years-of-life-not-above-zero', { lifeYears })
  return upToWhole(minor(priceMinor) / lifeYears)
}

function feeLevel(input: FeeProposalInput, costMinor: number, paidM3: M3): FeeLevel {
  const { plots, examples, flatFraction = 0.5 } = input
  if (!(paidM3 > 0)) throw new InputError('paid-volume-not-above-zero', { paidM3 })
  if (!(plots > 0)) throw new InputError('no-plots', { plots })
  if (!(flatFraction >= 0 && flatFraction <= 1)) throw new InputError('fraction-outside-0-to-1', { flatFraction })
  const pricePerM3Minor = upToWhole(costMinor / paidM3)
  const flatPerPlotMinor = upToWhole(costMinor / plots)
  const mixed = {
    flatPerPlotMinor: upToWhole((costMinor * flatFraction) / plots),
    pricePerM3Minor: upToWhole((costMinor * (1 - flatFraction)) / paidM3),
  }
  return {
    pricePerM3Minor,
    flatPerPlotMinor,
    mixed,
    examples: examples.map(({ name, yearlyM3 }) => ({
      name,
      byVolumeMinor: minor(Math.round(pricePerM3Minor * yearlyM3)),
      flatMinor: flatPerPlotMinor,
      mixedMinor: minor(mixed.flatPerPlotMinor + Math.round(mixed.pricePerM3Minor * yearlyM3)),
    })),
  }
}

/** The small allowance keeps a whole result whole when binary division leaves dust above it. */
function upToWhole(amount: number): Minor {
  return minor(Math.ceil(amount - 1e-6))
}
