import fc from 'fast-check'
import { expect, it } from 'vitest'
import { dueInspections, type Inspected, lastInspections } from '../../../domain/water/inspection.ts'
import { isOldLevel, movesMuch } from '../../../domain/water/level.ts'

const day = (at: number) => `2031-03-0${at}`
const drawn = fc
  .array(
    fc.record({
      weirId: fc.constantFrom('upper', 'lower'),
      part: fc.constantFrom('wall' as const, 'apron' as const),
      seen: fc.integer({ min: 1, max: 3 }),
      state: fc.constantFrom('sound' as const, 'danger' as const),
      next: fc.option(fc.integer({ min: 1, max: 6 })),
    }),
    { maxLength: 9 },
  )
  .chain((rows) =>
    fc.shuffledSubarray(
      rows.map((row, seq) => ({ ...row, seq })),
      { minLength: rows.length },
    ),
  )
  .map((rows) =>
    rows.map(
      ({ seen, next, ...rest }): Inspected => ({
        ...rest,
        seenOn: day(seen),
        nextOn: next === null ? null : day(next),
      }),
    ),
  )

it('the last look at a part is that of its latest day, and of one day the one written last', () => {
  fc.assert(
    fc.property(drawn, fc.integer({ min: 1, max: 6 }), (inspections, now) => {
      // Looked through day after day and as written, each look in place of the one before.
      const walls = new Map<string, Inspected>()
      const inOrder = inspections.toSorted((a, b) => a.seenOn.localeCompare(b.seenOn) || a.seq - b.seq)
      for (const one of inOrder) walls.set(`${one.weirId}/${one.part}`, one)
      const last = [...walls.values()]
      const seqs = (of: readonly Inspected[]) => of.map(({ seq }) => seq).toSorted((a, b) => a - b)
      expect(seqs(lastInspections(inspections))).toEqual(seqs(last))
      const { overdue, danger } = dueInspections({ inspections, today: day(now) })
      const late = last.filter(
        ({ nextOn }) => nextOn !== null && [1, 2, 3, 4, 5, 6].some((at) => at < now && day(at) === nextOn),
      )
      expect(seqs(overdue)).toEqual(seqs(late))
      expect(overdue.map(({ nextOn }) => nextOn)).toEqual(late.map(({ nextOn }) => nextOn).toSorted())
      expect(seqs(danger)).toEqual(seqs(last.filter(({ state }) => state !== 'sound')))
    }),
  )
})

it('a level carries next week for seven days, and none that was never read does', () => {
  expect([0, 7, 8, null].map((age) => isOldLevel(age))).toEqual([false, false, true, true])
})

it.each([
  [100, 75, false],
  [100, 74.9, true],
  [75, 100, false],
  [74.9, 100, true],
  [0, 0, false],
  [0, 0.1, true],
])('from %d m3 to %d m3, more than a quarter of the larger is much: %s', (wasM3, isM3, isMuch) => {
  expect(movesMuch({ wasM3, isM3 })).toBe(isMuch)
})
