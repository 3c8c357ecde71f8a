import { describe, expect, it } from 'vitest'
import { emsOf, fittedText, LEAST_MM, twoLines } from '../../server/web/figures/drawn.ts'

const PLACE = { x: 0, y: 0 }

describe('words on a drawn sheet', () => {
  it('stand whole in the largest size that the width bears', () => {
    const { words, size } = fittedText('Lumi Adder', PLACE, { most: 6, width: 100 })
    expect([words, size]).toEqual(['Lumi Adder', 6])
  })

  it.each([24, 18, 12, 9])(
    'are as many whole words of a name as fit in %d mm, without a sign for the rest',
    (width) => {
      const names = 'Lumi Adder, Oren Adder'
      const { words, size } = fittedText(names, PLACE, { most: 6, width, bold: true })
      expect(size).toBeGreaterThanOrEqual(LEAST_MM)
      expect(emsOf(words, true) * size).toBeLessThanOrEqual(width + 0.1)
      expect(['Lumi Adder, Oren', 'Lumi Adder', 'Lumi']).toContain(words)
    },
  )

  it('leave a name that does not fit at all to mark and number, and never leave out a figure', () => {
    expect(fittedText('Wanderingham', PLACE, { most: 6, width: 5 }).words).toBe('')
    expect(fittedText('07:00–09:12', PLACE, { most: 6, width: 5 }).words).toBe('07:00–09:12')
  })

  it.each(['Lumi', 'Lumi Adder', 'Lumi Adder, Oren Adder', 'a long one and b', 'x yyyyyyyyyyyy z'])(
    'of %s are cut into two lines that lose no word and are as even as they can be',
    (words) => {
      const lines = twoLines(words)
      expect(lines.join(' ')).toBe(words)
      const parts = words.split(' ')
      const cuts = parts.map((_, at) => [parts.slice(0, at).join(' '), parts.slice(at).join(' ')])
      const longest = (two: string[]) => Math.max(...two.map((line) => emsOf(line)))
      expect(longest(lines)).toBeCloseTo(Math.min(...cuts.map(longest)))
    },
  )
})
