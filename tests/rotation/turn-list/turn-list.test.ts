import { describe, expect, it } from 'vitest'
import { type ListPause, turnList } from '../../../domain/rotation/turn-list.ts'

const names = ['a', 'b', 'c', 'd', 'e']
const funeral: ListPause = { fromOn: '2026-06-03', untilOn: '2026-06-04', cause: 'funeral', words: null }
const base = { names, perDay: 2, served: [], pauses: [], fromOn: '2026-06-01', days: 4 }
const seen = (input: Parameters<typeof turnList>[0]) => turnList(input).days.map((day) => day.names.join(''))

describe('a list of turns', () => {
  it('goes by names, round and round', () => {
    expect(seen(base)).toEqual(['ab', 'cd', 'ea', 'bc'])
  })

  it('pauses and resumes at the next name, not at the next date', () => {
    expect(seen({ ...base, pauses: [funeral], days: 6 })).toEqual(['ab', 'cd', '', '', 'ea', 'bc'])
    expect(turnList({ ...base, pauses: [funeral] }).days[2]!.pause).toEqual(funeral)
  })

  it('stands still without an end until one is written', () => {
    const stopped: ListPause = { fromOn: '2026-06-02', untilOn: null, cause: 'pump', words: 'seal' }
    expect(seen({ ...base, pauses: [stopped] })).toEqual(['ab', '', '', ''])
  })

  it('begins behind whoever was served last, and counts what was served today', () => {
    const served = [
      { name: 'a', on: '2026-05-31' },
      { name: 'b', on: '2026-05-31' },
      { name: 'c', on: '2026-06-01' },
    ]
    expect(turnList({ ...base, served }).order).toEqual(['d', 'e', 'a', 'b', 'c'])
    expect(seen({ ...base, served })).toEqual(['d', 'ea', 'bc', 'de'])
  })

  it('skips nobody who was passed over, and never calls a name twice in one day', () => {
    expect(turnList({ ...base, served: [{ name: 'c', on: '2026-05-31' }] }).order).toEqual(['a', 'b', 'd', 'e', 'c'])
    expect(seen({ ...base, names: ['a'], perDay: 3 })).toEqual(['a', 'a', 'a', 'a'])
  })
})
