import type { BalanceStretch } from '../balance/stretches.ts'

/** The columns of the season balance that the fit reads; only dry stretches under the present survey count. */
export type CalibrationStretch = Pick<
  BalanceStretch,
  | 'fromOn'
  | 'toOn'
  | 'days'
  | 'kind'
  | 'openingLevelM'
  | 'closingLevelM'
  | 'drawnM3'
  | 'spilledM3'
  | 'leakFromAboveM3'
  | 'spillFromAboveM3'
>

/** Dry stretches that follow each other without a gap: one more level than stretches. */
export interface FallRun {
  levelsM: number[]
  stretches: { days: number; netDrawnM3: number }[]
}

/** Chains dry stretches; a wet or unreckoned one ends a run. */
export function dryRuns(stretches: readonly CalibrationStretch[]): FallRun[] {
  const runs: FallRun[] = []
  let endsOn: string | null = null
  for (const stretch of stretches) {
    if (stretch.kind !== 'dry') continue
    if (stretch.fromOn !== endsOn) runs.push({ levelsM: [stretch.openingLevelM], stretches: [] })
    const run = runs.at(-1)!
    const netDrawnM3 = stretch.drawnM3 + stretch.spilledM3 - stretch.leakFromAboveM3 - stretch.spillFromAboveM3
    run.levelsM.push(stretch.closingLevelM)
    run.stretches.push({ days: stretch.days, netDrawnM3 })
    endsOn = stretch.toOn
  }
  return runs
}
