import fc from 'fast-check'
import { expect, it } from 'vitest'
import type { LevelVolumeRow, SandBody } from '../../../domain/water/sand/body.ts'
import { withLevelVolumeTable } from '../../../domain/water/sand/body.ts'

/** A table that rises by 10 cm and 5 m³ a row. */
const sound = (rows: number): LevelVolumeRow[] =>
  Array.from({ length: rows }, (_, at) => {
    const likelyM3 = 50 + 5 * at
    return { levelM: 90 + at / 10, lowM3: likelyM3 - 1, likelyM3, highM3: likelyM3 + 1 }
  })

const accept = (rows: LevelVolumeRow[]) =>
  withLevelVolumeTable({ body: {} as SandBody, rows, grade: 'calibrated' }).table

/** What is wrong with a row beside the one before it, with the code that says so. */
const WRONG: [code: string, (row: LevelVolumeRow, before: LevelVolumeRow) => Partial<LevelVolumeRow>][] = [
  ['table-range-out-of-order', ({ likelyM3 }) => ({ lowM3: likelyM3 + 0.1 })],
  ['table-range-out-of-order', ({ likelyM3 }) => ({ highM3: likelyM3 - 0.1 })],
  ['table-range-out-of-order', () => ({ lowM3: -0.1 })],
  ['table-level-not-rising', (_, before) => ({ levelM: before.levelM })],
  ['table-level-not-rising', (_, before) => ({ levelM: before.levelM - 0.1 })],
  ['table-volume-falls', (_, before) => ({ lowM3: before.lowM3 - 0.1 })],
  [
    'table-volume-falls',
    (row, before) => ({ lowM3: before.lowM3, likelyM3: before.likelyM3 - 0.1, highM3: row.highM3 }),
  ],
  [
    'table-volume-falls',
    (_, before) => ({ lowM3: before.lowM3, likelyM3: before.likelyM3, highM3: before.highM3 - 0.1 }),
  ],
]

it('a wrong row of a level-volume table is named by its place, counted from one', () => {
  const drawn = fc
    .integer({ min: 2, max: 8 })
    .chain((rows) => fc.tuple(fc.constant(rows), fc.integer({ min: 1, max: rows - 1 })))
  fc.assert(
    fc.property(drawn, fc.constantFrom(...WRONG), ([count, at], [code, wrong]) => {
      const rows = sound(count)
      rows[at] = { ...rows[at]!, ...wrong(rows[at]!, rows[at - 1]!) }
      expect(() => accept(rows)).toThrow(expect.objectContaining({ code, values: { row: at + 1 } }))
    }),
  )
})

it('a table may stand still in what it holds, not in its levels, and has two rows', () => {
  const rows = sound(3).map((row) => ({ ...row, lowM3: 0, likelyM3: 0, highM3: 0 }))
  expect(accept(rows)).toEqual(rows)
  expect(accept(sound(2))).toEqual(sound(2))
  expect(() => accept(sound(1))).toThrow(expect.objectContaining({ code: 'table-too-short', values: { rows: 1 } }))
})
