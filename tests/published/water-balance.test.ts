import { expect, it } from 'vitest'
import { balanceClosure } from '../../domain/water/balance/balance.ts'

// Season balance by continuity (derived): end = start + recharge - taken - evaporation - leak. Tolerance 0.001.
it('closes the season of one weir 11 m3 short, 1.72 per cent of what came in', () => {
  const closure = balanceClosure({ openingM3: 120, rechargeM3: 640, drawnM3: 410, lossM3: 126 + 95, closingM3: 118 })
  expect(closure.expectedClosingM3).toBeCloseTo(129, 3)
  expect(closure.residualM3).toBeCloseTo(-11, 3)
  expect(100 * closure.residualShareOfInflow!).toBeCloseTo(-1.71875, 4)
})
