import { describe, expect, it } from 'vitest'
import { weekPart } from '../../../server/rotation/week/parts.ts'

type Given = Parameters<typeof weekPart>[1]

/** Monday has forty turns of each of three pumps, whose numbers run the other way than their names; Tuesday one; Wednesday none. */
const pumps = [
  { id: 'a', number: 3 },
  { id: 'b', number: 2 },
  { id: 'c', number: 1 },
]
const turn = (pumpId: string, at: number) => ({ pumpId, plotId: `${pumpId}${at}`, startMinute: 400 + at })
const monday = [0, 1, 2, 3].flatMap((ten) =>
  pumps.flatMap(({ id }) => Array.from({ length: 10 }, (_, at) => turn(id, 10 * ten + at))),
)
const dayOf = (day: string, rows: unknown[]) => ({ day, closed: [], turns: rows, rows })
const days = [dayOf('2026-11-23', monday), dayOf('2026-11-24', [turn('a', 1)]), dayOf('2026-11-25', [])]
const shares = Array.from({ length: 210 }, (_, at) => ({ plotId: `p${at}` }))
const long = { week: { inputs: { pumps } }, days, shares, own: new Set<string>() } as unknown as Given
const short = { ...long, days: days.slice(1) } as Given

const shown = (query: Record<string, string>, { given = long, today = '2026-12-01' } = {}) =>
  weekPart({ today, query }, given)
const rowsOf = (query: Record<string, string>, given = long) =>
  shown(query, { given }).shownDays.flatMap(({ day, rows }) => rows.map(({ pumpId }) => `${day} ${pumpId}`))

describe('a week of many turns', () => {
  it('shows a day at a time: today, or else the first that has turns', () => {
    expect(shown({}, { today: '2026-11-24' }).shownDays.map(({ day }) => day)).toEqual(['2026-11-24'])
    expect(shown({}, { today: '2026-11-25' }).part?.shown).toBe('2026-11-25')
    expect(shown({}).shownDays.map(({ day }) => day)).toEqual(['2026-11-23'])
    expect(shown({ part: 'none of them' }).part?.shown).toBe('2026-11-23')
    expect(rowsOf({ part: '2026-11-24' })).toEqual(['2026-11-24 a'])
    expect(shown({ part: '2026-11-24' }).shownShares).toEqual([])
  })

  it('has a door to each day, to the shares and to the whole', () => {
    expect(shown({}).part?.doors).toEqual(['2026-11-23', '2026-11-24', '2026-11-25', 'shares', 'all'])
  })

  it('shows of a long day whole pumps, in the order of their numbers, each row on one sheet', () => {
    const sheets = ['1', '2'].map((sheet) => rowsOf({ part: '2026-11-23', sheet }))
    expect(sheets.map((rows) => [rows.length, ...new Set(rows)])).toEqual([
      [80, '2026-11-23 c', '2026-11-23 b'],
      [40, '2026-11-23 a'],
    ])
    expect(shown({ part: '2026-11-23', sheet: '2' }).partSheet).toEqual({
      before: 1,
      after: null,
      number: 2,
      count: 2,
      of: 'part=2026-11-23&',
    })
    const minutes = shown({ part: '2026-11-23', sheet: 'all' }).shownDays[0]!.rows.map((row) => row.startMinute)
    expect(minutes).toEqual(monday.map(({ startMinute }) => startMinute).sort((a, b) => a - b))
    // What is told of the whole day stays so.
    expect(shown({ part: '2026-11-23', sheet: '2' }).shownDays[0]!.turns).toHaveLength(120)
  })

  it('opens the sheet with a turn of whoever looks', () => {
    const own = { ...long, own: new Set(['a7']) } as Given
    expect(shown({}, { given: own }).partSheet?.number).toBe(2)
    expect(shown({ part: '2026-11-23', sheet: '1' }, { given: own }).partSheet?.number).toBe(1)
  })

  it('shows the shares a hundred at a time, and all of the week to whoever asks', () => {
    const third = shown({ part: 'shares', sheet: '3' })
    expect([third.shownDays, third.shownShares]).toEqual([[], long.shares.slice(200)])
    const all = shown({ part: 'all' })
    expect([all.shownDays, all.shownShares, all.partSheet]).toEqual([long.days, long.shares, null])
  })
})

it('a week of few turns stands on its page whole', () => {
  const all = shown({ part: '2026-11-24' }, { given: short })
  expect([all.shownDays, all.shownShares, all.part]).toEqual([short.days, short.shares, null])
  const eighty = { ...long, days: [dayOf('2026-11-23', monday.slice(0, 80))] } as unknown as Given
  const more = { ...long, days: [dayOf('2026-11-23', monday.slice(0, 81))] } as unknown as Given
  expect([shown({}, { given: eighty }).part, shown({}, { given: more }).part?.shown]).toEqual([null, '2026-11-23'])
})
