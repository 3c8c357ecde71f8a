import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readFigureLines } from '../../../server/web/forms/figure-lines.ts'

const WAYS = [
  { between: '\t', decimal: ',' },
  { between: '\t', decimal: '.' },
  { between: ';', decimal: ',' },
  { between: '; ', decimal: '.' },
  { between: ' ', decimal: ',' },
  { between: '   ', decimal: '.' },
  { between: ',', decimal: '.' },
  { between: ', ', decimal: '.' },
]

const figure = fc.integer({ min: -9999, max: 9999 }).map((hundredths) => hundredths / 100)
const table = fc.integer({ min: 1, max: 4 }).chain((wanted) =>
  fc.record({
    wanted: fc.constant(wanted),
    rows: fc.array(fc.array(figure, { minLength: wanted, maxLength: wanted }), { minLength: 1, maxLength: 5 }),
    way: fc.constantFrom(...WAYS),
    end: fc.constantFrom('\n', '\r\n', '\r'),
    heading: fc.boolean(),
    gap: fc.boolean(),
    emptyCell: fc.boolean(),
  }),
)

describe('lines of figures', () => {
  it('are read the same, however they were parted, headed and ended, each with its line', () => {
    fc.assert(
      fc.property(table, ({ wanted, rows, way: { between, decimal }, end, heading, gap, emptyCell }) => {
        const close = emptyCell && between !== ' ' && between !== '   ' ? between.trim() || between : ''
        const typed = rows.map((row) => row.map((one) => String(one).replace('.', decimal)).join(between) + close)
        const first = heading ? ['depth and width'] : []
        const text = [...first, ...typed.flatMap((line) => (gap ? [line, '  '] : [line]))].join(end)
        const lineOf = (at: number) => first.length + at * (gap ? 2 : 1) + 1
        // One column whose cells end in a comma cannot be told from a figure that was not finished.
        fc.pre(!(wanted === 1 && close === ','))
        expect(readFigureLines(text, wanted)).toEqual(
          rows.map((figures, at) => ({ line: lineOf(at), figures: figures.map((one) => one + 0) })),
        )
      }),
    )
  })

  it.each([
    ['1 2\n3', { line: 2, found: 1, wanted: 2 }],
    ['1;2\n3;4;5', { line: 2, found: 3, wanted: 2 }],
  ])('of %j name the line with too few or too many', (text, values) => {
    expect(() => readFigureLines(text, 2)).toThrow(expect.objectContaining({ code: 'lines-count', values }))
  })

  it('name the line and what was typed where it is no figure', () => {
    const values = { line: 3, typed: 'deep' }
    const read = () => readFigureLines('head\n1;2\n3;deep', 2)
    expect(read).toThrow(expect.objectContaining({ code: 'lines-number', values }))
  })
})
