import { InputError } from '../input-error.ts'
import { apportion } from '../money/apportion.ts'
import { LITRES_PER_M3, type M3, wholeLitres } from '../units.ts'

/** What a plot, or the part of it that becomes a plot of its own, comes to. */
export interface PlotSize {
  areaM2: number
  shares: number
}

/** Shares are written with two decimals. */
const SHARE_STEPS = 100

/**
 * What stays with a plot and what goes to the new one (m2, shares): together they are what the plot was. Shares go by area where
 * none are named, to two decimals, and what is left over stays. Throws InputError `split-whole` where nothing of area or less than
 * no shares would stay. **ours**: what was is what is (R13, sum of shares before a split and after).
 */
export function splitPlot({ areaM2, shares }: PlotSize, part: { areaM2: number; shares: number | null }) {
  if (!(part.areaM2 < areaM2)) throw new InputError('split-whole', { areaM2 })
  const byArea = Math.round((shares * part.areaM2 * SHARE_STEPS) / areaM2) / SHARE_STEPS
  const newShares = part.shares ?? byArea
  if (newShares > shares) throw new InputError('split-shares', { shares })
  const rounded = (value: number) => Math.round(value * 1e6) / 1e6
  const stays: PlotSize = { areaM2: rounded(areaM2 - part.areaM2), shares: rounded(shares - newShares) }
  return { stays, goes: { areaM2: part.areaM2, shares: newShares } }
}

/** A wish for water in two, by area and to the litre (m3), so that both together are what was wished. Source of the split: `apportion`. */
export function splitWish(volumeM3: M3, areas: readonly [number, number]): [M3, M3] {
  const litres = apportion({ totalMinor: wholeLitres(volumeM3), weights: areas })
  return [litres[0]! / LITRES_PER_M3, litres[1]! / LITRES_PER_M3]
}

/**
 * The parts of those who hold a plot together, as fractions of one, from what was typed: `60/40`, `600 400`, `1:1`. Null where it
 * is not one number above zero for each of them. **ours**.
 */
export function partsTyped(typed: string, holders: number): number[] | null {
  const numbers = typed.split(/[/:;\s]+/).map((one) => Number(one.replace(',', '.').replace('%', '')))
  if (numbers.length !== holders || numbers.some((one) => !(one > 0 && one < 1e9))) return null
  const total = numbers.reduce((sum, one) => sum + one, 0)
  return numbers.map((one) => one / total)
}
