import { expect, it } from 'vitest'
import { parseDecimal } from '../../../server/web/figures/decimal.ts'

it.each([
  ['2,599.25', 2599.25],
  ['2.599,25', 2599.25],
  ['12,345,678.5', 12_345_678.5],
  ['0,5', 0.5],
  ['.5', 0.5],
  ['1 250', 1250],
])('a number typed as %s is read as people mean it', (text, value) => {
  expect(parseDecimal(text)).toBe(value)
})

it('asks where a thousandfold slip could hide, and refuses what is no number', () => {
  expect(parseDecimal('1,234')).toBe('ambiguous')
  for (const text of ['1,2,3', '1.234.5', '2,59.25', '12,34.5', 'three']) expect(parseDecimal(text)).toBeNull()
})
