import { describe, expect, it } from 'vitest'
import { basisChanges, writtenAlone } from '../../../domain/rotation/week/basis-changes.ts'
import type { WeekPlot } from '../../../domain/rotation/week/inputs.ts'

const plot = (over: Partial<WeekPlot> = {}): WeekPlot => ({
  id: 'p1',
  number: 1,
  name: 'by the wall',
  holders: ['Ama', 'Kofi'],
  areaM2: 400,
  shares: 1,
  persons: 5,
  outletIds: ['o1'],
  ...over,
})

describe('what a share is reckoned by', () => {
  it('is told where land, shares, people or holders differ, smaller as well as larger, and not where only the order does', () => {
    const before = { plots: [plot(), plot({ id: 'p2' })] }
    expect(basisChanges(before, { plots: [plot({ holders: ['Kofi', 'Ama'] }), plot({ id: 'p2' })] })).toEqual([])
    const now = { plots: [plot({ areaM2: 300, shares: 2 }), plot({ id: 'p2', persons: 9, holders: ['Esi'] })] }
    expect(basisChanges(before, now)).toEqual([
      { plotId: 'p1', what: 'areaM2', was: 400, is: 300 },
      { plotId: 'p1', what: 'shares', was: 1, is: 2 },
      { plotId: 'p2', what: 'persons', was: 5, is: 9 },
      { plotId: 'p2', what: 'holders', was: 'Ama, Kofi', is: 'Esi' },
    ])
    const apart = { plots: [plot(), plot({ id: 'p2', areaM2: 90 })] }
    expect(basisChanges(apart, apart)).toEqual([])
    expect(basisChanges({ plots: [] }, { plots: [plot()] })).toEqual([
      { plotId: 'p1', what: 'isNew', was: null, is: 400 },
    ])
  })
})

describe('a line that one person wrote alone', () => {
  const entry = (id: string, writerId: string, names: number) => ({ id, writerId, names })

  it('has an entry of that person without a second name, whoever wrote the others', () => {
    const lines = [
      { at: 'own', entries: [entry('a', 'clerk', 0)] },
      { at: 'named', entries: [entry('b', 'clerk', 1)] },
      { at: 'another’s', entries: [entry('c', 'chair', 0)] },
      { at: 'one of two named', entries: [entry('d', 'clerk', 1), entry('e', 'clerk', 0)] },
      { at: 'begun by another', entries: [entry('f', 'chair', 0), entry('g', 'clerk', 0)] },
      { at: 'of nobody', entries: [] },
    ]
    const alone = (who: string) => writtenAlone(lines, who).map(({ at }) => at)
    expect(alone('clerk')).toEqual(['own', 'one of two named', 'begun by another'])
    expect(alone('chair')).toEqual(['another’s', 'begun by another'])
    expect(alone('attendant')).toEqual([])
  })
})
