import { expect, it } from 'vitest'
import { oddReadings } from '../../../server/crops/weather/reading-limits.ts'

const NONE = { rhMaxPct: null, rhMinPct: null, windHeightM: null, dryBulbC: null, wetBulbC: null, psychrometer: null }
const USUAL = {
  ...{ ...NONE, onDate: '2026-06-03', tmaxC: 30.5, tminC: 16, rainMm: 4, windMPerS: 3, dewPointC: 14 },
  ...{ vapourPressureKpa: null, sunHours: null, radiationMjM2: null },
}

type Change = Partial<Record<'tmaxC' | 'tminC' | 'rainMm' | 'windMPerS' | 'dewPointC', number | null>>

it('a usual day is not asked about, nor one of which little was read', () => {
  expect(oddReadings(USUAL)).toEqual([])
  const read = ['tmaxC', 'tminC', 'rainMm', 'windMPerS', 'dewPointC'] as const
  for (const one of read) expect(oddReadings({ ...USUAL, [one]: null })).toEqual([])
  expect(oddReadings({ ...USUAL, ...Object.fromEntries(read.map((one) => [one, null])) })).toEqual([])
})

// As the words on the page say it: "25 degrees or more apart", "less than 2 degrees apart".
it.each<[string, Change, Change]>([
  ['wind-gale', { windMPerS: 11 }, { windMPerS: 10.9 }],
  ['dew-above-night', { dewPointC: 19.1 }, { dewPointC: 19 }],
  ['rain-heavy', { rainMm: 50 }, { rainMm: 49.9 }],
  ['day-hot', { tmaxC: 45, tminC: 30 }, { tmaxC: 44.9, tminC: 30 }],
  ['night-cold', { tminC: 0, tmaxC: 20, dewPointC: 0 }, { tminC: 0.1, tmaxC: 20, dewPointC: 0 }],
  ['gap-wide', { tmaxC: 41, tminC: 16 }, { tmaxC: 40.9, tminC: 16 }],
  ['gap-narrow', { tmaxC: 17.9, tminC: 16 }, { tmaxC: 18, tminC: 16 }],
])('%s is asked about alone, and not a tenth before it', (code, odd, usual) => {
  expect(oddReadings({ ...USUAL, ...odd })).toEqual([code])
  expect(oddReadings({ ...USUAL, ...usual })).toEqual([])
})
