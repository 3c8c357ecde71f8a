import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import { drainableStorageM3 } from '../sand/storage.ts'
import type { BalanceInput, BalanceWeir } from './input.ts'
import { type BalanceStretch, bodyOn, combinedToleranceM3, reckonableReadings } from './stretches.ts'

export interface BalanceTotals {
  openingM3: M3
  closingM3: M3
  drawnM3: M3
  lossM3: M3
  spilledM3: M3
  fedFromAboveM3: M3
  rechargeM3: M3
  unexplainedM3: M3
  notReckonedM3: M3
  /** Storage that a new survey or table found or took away between one stretch and the next. */
  surveyChangeM3: M3
  /** Logged before the first or after the last reading, so in no stretch. */
  drawnOutsideM3: M3
  toleranceM3: M3
  withinTolerance: boolean
  /** For the group's totals: what came from a weir of the group, so that it cancels. */
  leakFromAboveM3: M3
  spillFromAboveM3: M3
}

/** The stretches of one weir added up, in m3, with what was drawn by the log beside what the balance counts. */
export function weirTotals({
  weir,
  stretches,
  abstractions,
}: {
  weir: BalanceWeir
  stretches: BalanceStretch[]
  abstractions: BalanceInput['abstractions']
}): BalanceTotals {
  const total = (of: (row: BalanceStretch) => number) => sum(stretches, (row) => of(row))
  const drawnM3 = total((row) => row.drawnM3)
  const loggedM3 = sum(
    abstractions.filter((draw) => draw.weirId === weir.weirId),
    (draw) => draw.volumeM3,
  )
  const unexplainedM3 = total((row) => row.unexplainedM3)
  // One sand, one yield: its doubt moves all stretches the same way; readings and meters err each for itself.
  const toleranceParts = {
    yieldLowM3: total((row) => row.toleranceParts.yieldLowM3),
    yieldHighM3: total((row) => row.toleranceParts.yieldHighM3),
    levelM3: Math.hypot(...stretches.map((row) => row.toleranceParts.levelM3)),
    meterM3: Math.hypot(...stretches.map((row) => row.toleranceParts.meterM3)),
  }
  const toleranceM3 = combinedToleranceM3(toleranceParts, unexplainedM3)
  return {
    ...endStorages(weir, stretches),
    drawnM3,
    lossM3: total((row) => row.lossM3),
    spilledM3: total((row) => row.spilledM3),
    fedFromAboveM3: total((row) => row.leakFromAboveM3 + row.spillFromAboveM3),
    rechargeM3: total((row) => row.rechargeM3),
    unexplainedM3,
    notReckonedM3: total((row) => row.notReckonedM3),
    surveyChangeM3: stretches.reduce(
      (sum, row, i) => sum + row.openingM3 - (stretches[i - 1]?.closingM3 ?? row.openingM3),
      0,
    ),
    drawnOutsideM3: Math.max(0, loggedM3 - drawnM3),
    toleranceM3,
    withinTolerance: Math.abs(unexplainedM3) <= toleranceM3,
    leakFromAboveM3: total((row) => row.leakFromAboveM3),
    spillFromAboveM3: total((row) => row.spillFromAboveM3),
  }
}

/** All weirs together; water that went from one weir of the group to the next is neither lost nor fed. */
export function groupTotals(weirs: BalanceTotals[]): BalanceTotals {
  const total = (key: Exclude<keyof BalanceTotals, 'withinTolerance'>) => sum(weirs, (weir) => weir[key])
  const unexplainedM3 = total('unexplainedM3')
  const toleranceM3 = Math.hypot(...weirs.map((weir) => weir.toleranceM3))
  return {
    openingM3: total('openingM3'),
    closingM3: total('closingM3'),
    drawnM3: total('drawnM3'),
    lossM3: total('lossM3') - total('leakFromAboveM3'),
    spilledM3: total('spilledM3') - total('spillFromAboveM3'),
    fedFromAboveM3: 0,
    rechargeM3: total('rechargeM3'),
    unexplainedM3,
    notReckonedM3: total('notReckonedM3'),
    surveyChangeM3: total('surveyChangeM3'),
    drawnOutsideM3: total('drawnOutsideM3'),
    toleranceM3,
    withinTolerance: Math.abs(unexplainedM3) <= toleranceM3,
    leakFromAboveM3: 0,
    spillFromAboveM3: 0,
  }
}

/** Storage at the first and the last reading; with a single reading it is both. */
function endStorages(weir: BalanceWeir, stretches: BalanceStretch[]): { openingM3: M3; closingM3: M3 } {
  const [first, last] = [stretches[0], stretches.at(-1)]
  if (first && last) return { openingM3: first.openingM3, closingM3: last.closingM3 }
  const only = reckonableReadings(weir)[0]
  if (!only) return { openingM3: 0, closingM3: 0 }
  const { likelyM3 } = drainableStorageM3({ body: bodyOn(weir, only.readOn), waterLevelM: only.waterLevelM })
  return { openingM3: likelyM3, closingM3: likelyM3 }
}
