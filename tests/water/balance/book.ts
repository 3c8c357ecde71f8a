import { waterBalance } from '../../../domain/water/balance/balance.ts'
import type { BalanceInput, BalanceReading, BalanceWeir } from '../../../domain/water/balance/input.ts'
import type { BalanceTotals } from '../../../domain/water/balance/totals.ts'
import { wedgeSandBody } from '../../../domain/water/sand/body.ts'
import { waterLevelForStorageM } from '../../../domain/water/sand/storage.ts'

export const body = wedgeSandBody({
  crestHeightM: 2,
  crestWidthM: 15,
  bedSlope: 0.01,
  valleyShape: 'rectangle',
  crestLevelM: 100,
  specificYield: { low: 0.2, likely: 0.25, high: 0.3 },
})
// 3000 m3 of sand, 750 m3 of water when full.

export const holding = (readOn: string, storageM3: number, more: Partial<BalanceReading> = {}): BalanceReading => ({
  readOn,
  waterLevelM: waterLevelForStorageM({ body, storageM3 })!,
  levelErrorCm: 2,
  flowNoted: false,
  ...more,
})

export const weirOf = (weirId: string, readings: BalanceReading[], more: Partial<BalanceWeir> = {}): BalanceWeir => ({
  weirId,
  feedsWeirId: null,
  bodies: [{ fromOn: '2025-01-01', body }],
  loss: { dailyM3: 1 },
  leakShare: 0,
  readings,
  ...more,
})

export const balanceOf = (weirs: BalanceWeir[], more: Partial<BalanceInput> = {}) =>
  waterBalance({ weirs, abstractions: [], spills: [], rain: [], rainMarkMm: 10, ...more })

export const draw = (weirId: string, drawnOn: string, volumeM3: number) => ({
  weirId,
  drawnOn,
  volumeM3,
  errorM3: volumeM3 * 0.05,
})

/** What is left when opening and every named flow are set against the closing storage. */
export const gapM3 = (t: BalanceTotals) =>
  t.openingM3 +
  t.rechargeM3 +
  t.fedFromAboveM3 +
  t.notReckonedM3 +
  t.surveyChangeM3 -
  t.drawnM3 -
  t.lossM3 -
  t.spilledM3 -
  t.unexplainedM3 -
  t.closingM3
