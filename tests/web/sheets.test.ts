import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { sheetOf } from '../../server/web/figures/sheets.ts'

describe('a long list in sheets', () => {
  it('shows each line on exactly one sheet, in order', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(), { maxLength: 60 }), fc.integer({ min: 1, max: 9 }), (list, size) => {
        const { count } = sheetOf(list, { asked: undefined, size })
        const sheets = Array.from({ length: count }, (_, at) => sheetOf(list, { asked: String(at + 1), size }))
        expect(sheets.flatMap(({ shown }) => shown)).toEqual(list)
        expect(sheets.map(({ before, after }) => [before, after])).toEqual(
          sheets.map((_, at) => [at > 0 ? at : null, at + 1 < count ? at + 2 : null]),
        )
      }),
    )
  })

  it('gives the nearest sheet there is for whatever is asked, and the whole to be printed', () => {
    const list = [1, 2, 3, 4, 5]
    const numberOf = (asked: string | undefined) => sheetOf(list, { asked, size: 2 }).number
    expect([undefined, '', '0', '-3', 'x', '2.9', '99'].map(numberOf)).toEqual([1, 1, 1, 1, 1, 2, 3])
    expect(sheetOf(list, { asked: 'all', size: 2 })).toMatchObject({ shown: list, before: null, after: null, count: 1 })
    expect(sheetOf([], { asked: undefined, size: 2 })).toMatchObject({ shown: [], count: 1 })
  })
})
