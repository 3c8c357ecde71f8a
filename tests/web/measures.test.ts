import { expect, it } from 'vitest'
import { parseArea, parseDegrees } from '../../server/web/figures/measures.ts'

it.each([
  ['300', 300],
  ['300 m²', 300],
  ['20 x 15', 300],
  ['20X15', 300],
  ['20,5 × 10', 205],
  ['20 m by 15 m', 300],
  ['20*15', 300],
  ['20 x', null],
  ['x 15', null],
  ['20 x -15', null],
  ['20 x 15 x 3', null],
  ['a field', null],
  ['1,200 x 3', 'ambiguous'],
])('reads the area %s', (typed, areaM2) => {
  expect(parseArea(typed)).toBe(areaM2)
})

// One degree has sixty minutes of sixty seconds each (ISO 6709, annex D).
it.each([
  ["1°48'S", 'NS', -1.8],
  ['1°48′S', 'NS', -1.8],
  ['S 1 48 30', 'NS', -1.808333],
  [`1° 48' 30" S`, 'NS', -1.808333],
  ['1.8 s', 'NS', -1.8],
  ['-1,8', 'NS', -1.8],
  ["12°30'N", 'NS', 12.5],
  ["38°1'E", 'EW', 38.016667],
  ['70.5W', 'EW', -70.5],
  ['38°', 'EW', 38],
  ["1°48'E", 'NS', null],
  ["1°48'", 'NS', null],
  ["1°60'S", 'NS', null],
  ["1°59'59S", 'NS', -1.999722],
  ["1°59'60S", 'NS', null],
  ['N1S', 'NS', null],
  ["-1°48'S", 'NS', null],
  ['north', 'NS', null],
] as const)('reads %s', (typed, letters, degrees) => {
  expect(parseDegrees(typed, letters)).toBe(degrees)
})
