import fc from 'fast-check'
import { expect, it } from 'vitest'
import { type HouseholdFacts, householdOf, partsHousehold } from '../../../domain/people/household.ts'
import { runs } from '../../support/runs.ts'

const PERSONS = ['ana', 'ben', 'caro', 'dia', 'eli']
const day = (at: number) => `2031-03-0${at}`

type Line = { fromOn: string; seq: number; personIds: string[]; plotId: string | null }

/** Lines of who lives together and who holds a plot, from days that often fall together, written in any order. */
const lines = fc
  .array(
    fc.record({
      on: fc.integer({ min: 1, max: 5 }),
      personIds: fc.subarray(PERSONS, { minLength: 1, maxLength: 3 }),
      plotId: fc.constantFrom(null, 'north', 'south'),
    }),
    { maxLength: 9 },
  )
  .map((drawn) => drawn.map(({ on, ...rest }, seq): Line => ({ fromOn: day(on), seq, ...rest })))

const factsOf = (drawn: readonly Line[]): HouseholdFacts => ({
  living: drawn.filter(({ plotId }) => plotId === null),
  held: drawn.flatMap((line) => (line.plotId === null ? [] : [{ ...line, plotId: line.plotId }])),
})

/**
 * The same lived through line after line. Whoever is written as living together moves into one house, and what they had of plots that
 * had passed to others by then is forgotten; a plot has its holders, and those before them remember each other.
 */
function livedThrough(drawn: readonly Line[], on: string) {
  const house = new Map<string, number>()
  const holders = new Map<string, string[]>()
  let remembered: [string, string][] = []
  const past = drawn.filter(({ fromOn }) => fromOn <= on)
  for (const { personIds, plotId, seq } of past.toSorted((a, b) => a.fromOn.localeCompare(b.fromOn) || a.seq - b.seq)) {
    if (plotId === null) {
      for (const id of personIds) house.set(id, seq)
      remembered = remembered.filter((pair) => !pair.some((id) => personIds.includes(id)))
    } else {
      const before = holders.get(plotId) ?? []
      remembered.push(...before.flatMap((a) => before.map((b): [string, string] => [a, b])))
      holders.set(plotId, personIds)
    }
  }
  const near = (a: string, b: string) =>
    (house.has(a) && house.get(a) === house.get(b)) ||
    [...holders.values()].some((own) => own.includes(a) && own.includes(b)) ||
    remembered.some(([one, other]) => one === a && other === b)
  return (id: string): string[] => {
    let found = [id]
    for (;;) {
      const more = PERSONS.filter((other) => found.some((one) => one === other || near(one, other)))
      if (more.length === found.length) return more.toSorted()
      found = more
    }
  }
}

it('a household on any day is what it came to, line after line, whatever was written of its plots and houses', () => {
  fc.assert(
    fc.property(lines, fc.integer({ min: 0, max: 6 }), (drawn, at) => {
      const household = livedThrough(drawn, day(at))
      for (const id of PERSONS) expect(householdOf(factsOf(drawn), [id], day(at)).toSorted()).toEqual(household(id))
    }),
    runs(300),
  )
})

it('a new line parts a household where, on its day or on one to come, somebody of it is with fewer than without the line', () => {
  fc.assert(
    fc.property(
      lines,
      fc.integer({ min: 1, max: 5 }),
      fc.subarray(PERSONS, { minLength: 1, maxLength: 3 }),
      (drawn, from, personIds) => {
        const line = { fromOn: day(from), seq: 99, personIds, plotId: null }
        const parts = [1, 2, 3, 4, 5, 6]
          .filter((at) => at >= from)
          .some((at) => {
            const [before, after] = [drawn, [...drawn, line]].map((all) => livedThrough(all, day(at)))
            return personIds.some((id) => before!(id).some((other) => !after!(id).includes(other)))
          })
        expect(partsHousehold(factsOf(drawn), { fromOn: line.fromOn, personIds })).toBe(parts)
      },
    ),
    runs(300),
  )
})
