import { InputError } from '../input-error.ts'
import { decimal, digitsAt } from './decimal.ts'
import { type Minor, minor } from './money.ts'

/**
 * Splits a whole amount in proportion to weights so that the parts sum to it exactly: everyone gets the whole part of
 * their quota, and the units left over go one each to the largest remainders (equal remainders: first in the list).
 * A negative total is split as its positive mirror. Throws InputError `no-weight-to-share-by` when all weights are zero.
 * Source: Hamilton's method, Balinski and Young, Fair Representation (1982), chapter 2 (status: memory).
 */
export function apportion({ totalMinor, weights }: { totalMinor: number; weights: readonly number[] }): Minor[] {
  const shares = wholeWeights(weights)
  const sum = shares.reduce((total, share) => total + share, 0n)
  if (sum === 0n) throw new InputError('no-weight-to-share-by', { parts: weights.length })
  const total = BigInt(Math.abs(minor(totalMinor)))
  const parts = shares.map((share, index) => ({
    index,
    whole: (total * share) / sum,
    remainder: (total * share) % sum,
  }))
  const given = parts.reduce((already, part) => already + part.whole, 0n)
  const favoured = parts.toSorted((a, b) => Number(b.remainder - a.remainder))
  for (const part of favoured.slice(0, Number(total - given))) part.whole += 1n
  return parts.map((part) => minor(Number(part.whole) * Math.sign(totalMinor)))
}

function wholeWeights(weights: readonly number[]): bigint[] {
  if (weights.some((weight) => !(weight >= 0))) throw new RangeError('weights are numbers of zero or more')
  const exact = weights.map(decimal)
  const scale = Math.max(0, ...exact.map((weight) => weight.scale))
  return exact.map((weight) => digitsAt(weight, scale))
}
