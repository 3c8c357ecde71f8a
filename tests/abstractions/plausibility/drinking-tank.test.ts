import { describe, expect, it } from 'vitest'
import type { Abstraction } from '../../../server/abstractions/draw/store.ts'
import type { Works } from '../../../server/abstractions/place/store.ts'
import { fromDrinkingTank } from '../../../server/abstractions/plausibility/tank-store.ts'

const works = { fed: new Map([['hanging', 'tank']]) } as unknown as Works
const tank = { id: 'tank', number: 4, name: 'School', pumpId: 'pump', areaM2: 4, heightM: 2, keptM3: 2 }

/** The codes of one draw, by what stood in the tank in the evening. */
function codes(draw: Partial<Abstraction>, duskM3: number | null = null): string[] {
  const whole = { use: 'irrigation', volumeM3: 1, method: 'time', pumpId: 'pump', turnId: null, ...draw } as Abstraction
  const tanks = [{ ...tank, duskM3 }] as unknown as Parameters<typeof fromDrinkingTank>[1]
  return fromDrinkingTank(whole, tanks, works).map(({ code }) => code)
}

describe('crop water out of a tank that people drink from', () => {
  const AGREED = { outletId: 'hanging', turnId: 'turn' } as Partial<Abstraction>
  const BESIDE = { outletId: 'hanging' } as Partial<Abstraction>

  it('is asked about outside the agreed turns, at the tank’s outlets and at the pump itself', () => {
    expect(codes(BESIDE)).toEqual(['crops-from-drinking-tank'])
    expect(codes({ outletId: null })).toEqual(['crops-from-drinking-tank'])
    expect(codes({ outletId: null, method: 'meter' })).toEqual([])
    expect(codes(AGREED)).toEqual([])
    expect(codes({ outletId: 'other' } as Partial<Abstraction>)).toEqual([])
  })

  it('is asked about in an agreed turn too, once the tank is below its mark', () => {
    expect(codes(AGREED, 1.9)).toEqual(['drinking-tank-below-mark'])
    expect(codes(AGREED, 2)).toEqual([])
  })

  it('is no matter where people or animals drank it', () => {
    for (const use of ['drinking', 'stock'] as const) expect(codes({ ...BESIDE, use }, 0)).toEqual([])
  })
})
