import { expect, it } from 'vitest'
import { markKey } from '../../../domain/people/mark/pictures.ts'
import { restsUntil } from '../../../domain/people/mark/resting.ts'

it('a mark that was given up rests through the next season that begins after that day, not through one that begins on it', () => {
  const season = { seasonStartOn: '2025-03-01', seasonEndOn: '2025-08-31' }
  const rests = ['2026-01-01', '2026-02-28', '2026-03-01', '2026-12-31'].map((on) => restsUntil(on, season))
  expect(rests).toEqual(['2026-08-31', '2026-08-31', '2027-08-31', '2027-08-31'])
  const overNewYear = { seasonStartOn: '2024-10-15', seasonEndOn: '2025-02-10' }
  expect(['2026-10-14', '2026-10-15'].map((on) => restsUntil(on, overNewYear))).toEqual(['2027-02-10', '2028-02-10'])
  // A season from the leap day begins on the 28th where a year has none.
  const leap = { seasonStartOn: '2024-02-29', seasonEndOn: '2024-03-10' }
  expect(['2026-02-27', '2026-02-28'].map((on) => restsUntil(on, leap))).toEqual(['2026-03-10', '2027-03-10'])
})

it('a mark is called by its picture, and by its frame where it has one', () => {
  expect(markKey({ picture: 'boat', frame: 'bare' })).toBe('boat')
  expect(markKey({ picture: 'boat', frame: 'ring' })).toBe('boat-ring')
})
