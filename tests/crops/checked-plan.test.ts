import { describe, expect, it } from 'vitest'
import { type CropPlan, checkPlan } from '../../domain/crops/plan.ts'
import { InputError } from '../../domain/input-error.ts'

const plan = (change: Partial<CropPlan>) => ({ areaM2: 200, plantedOn: '2026-06-10', ...change }) as CropPlan
const refusal = (change: Partial<CropPlan>) => {
  try {
    checkPlan(plan(change))
    return null
  } catch (error) {
    const { code, values } = error as InputError
    expect(error).toBeInstanceOf(InputError)
    return [code, values]
  }
}

describe('a crop on its ground', () => {
  it('has ground, however little', () => {
    expect(refusal({ areaM2: 0.5 })).toBeNull()
    for (const areaM2 of [0, -3]) expect(refusal({ areaM2 })).toEqual(['area-not-above-zero', { areaM2 }])
    expect(refusal({ areaM2: Number.NaN })?.[0]).toBe('area-not-above-zero')
  })

  it('is not taken in before it was sown; on the same day it may be lost', () => {
    for (const harvestedOn of [undefined, '2026-06-10', '2026-06-11']) expect(refusal({ harvestedOn })).toBeNull()
    expect(refusal({ harvestedOn: '2026-06-09' })).toEqual([
      'harvest-before-planting',
      { plantedOn: '2026-06-10', harvestedOn: '2026-06-09' },
    ])
  })
})
