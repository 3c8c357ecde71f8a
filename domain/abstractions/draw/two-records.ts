import type { M3 } from '../../units.ts'
import { exactM3 } from './meter.ts'

/**
 * Two independent records of the same water, for example hours times flow beside a meter. The fraction is of the first
 * record and null when that is zero.
 */
export function compareRecords({ firstM3, secondM3, toleranceM3 }: { firstM3: M3; secondM3: M3; toleranceM3: M3 }) {
  const differenceM3 = exactM3(secondM3 - firstM3)
  return {
    differenceM3,
    differenceFraction: firstM3 === 0 ? null : differenceM3 / firstM3,
    agree: Math.abs(differenceM3) <= toleranceM3,
  }
}
