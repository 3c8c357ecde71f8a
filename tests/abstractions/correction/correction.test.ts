import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Correctable, standingEntries } from '../../../domain/abstractions/correction.ts'

const entry = (id: string, correctsId: string | null, minute: number): Correctable => ({
  id,
  correctsId,
  writtenAt: `2031-07-03T08:${String(minute).padStart(2, '0')}:00Z`,
})
const held = (entries: Correctable[]) =>
  standingEntries({ entries }).standing.map(({ entry: { id }, firstId }) => [firstId, id])

describe('corrections', () => {
  it('replace what they name, and a correction can be corrected', () => {
    const entries = [entry('a', null, 1), entry('b', null, 2), entry('a2', 'a', 3), entry('a3', 'a2', 4)]
    expect(held(entries)).toEqual([
      ['a', 'a3'],
      ['b', 'b'],
    ])
    expect(standingEntries({ entries }).clashes).toEqual([])
  })

  it('of the same entry in two books clash: the later one holds and both are shown', () => {
    const entries = [entry('a', null, 1), entry('x', 'a', 5), entry('y', 'a', 3)]
    expect(held(entries)).toEqual([['a', 'x']])
    expect(standingEntries({ entries }).clashes).toEqual([{ correctedId: 'a', entryIds: ['y', 'x'] }])
  })

  it('give the same book in whichever order two books are merged, every first entry once', () => {
    const rows = fc.array(fc.record({ parent: fc.option(fc.nat()), minute: fc.integer({ min: 0, max: 59 }) }), {
      maxLength: 30,
    })
    fc.assert(
      fc.property(rows, fc.nat(), (raw, cut) => {
        const entries = raw.map(({ parent, minute }, at) =>
          entry(`e${at}`, parent === null || at === 0 ? null : `e${parent % at}`, minute),
        )
        const middle = entries.length === 0 ? 0 : cut % entries.length
        const [ours, theirs] = [entries.slice(0, middle + 1), entries.slice(middle)]
        const merged = standingEntries({ entries: [...ours, ...theirs] })
        expect(standingEntries({ entries: [...theirs, ...ours] })).toEqual(merged)
        const firstIds = merged.standing.map(({ firstId }) => firstId).toSorted()
        const roots = entries.filter(({ correctsId }) => correctsId === null).map(({ id }) => id)
        expect(firstIds).toEqual(roots.toSorted())
      }),
    )
  })
})
