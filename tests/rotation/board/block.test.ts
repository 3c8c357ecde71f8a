import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type BlockWords, drawBlock } from '../../../server/rotation/board/block.ts'
import { emsOf } from '../../../server/web/figures/drawn.ts'

interface Area {
  what: string
  left: number
  right: number
  top: number
  bottom: number
}

/** Letters stand on their line and rise above it by about seven tenths of their size. */
const RISE = 0.7
/** Less than a hair's breadth beside each other is not on top of each other. */
const HAIR = 0.45

const blocks = fc.record({
  width: fc.integer({ min: 27, max: 95 }),
  height: fc.integer({ min: 6, max: 60 }),
  wheels: fc.constantFrom(0, 5, 6),
  isOfficers: fc.boolean(),
  plot: fc.constantFrom('4', '17', '23'),
  names: fc.constantFrom('Oren', 'Lumi Adder', 'Lumi Adder, Oren Adder'),
  volume: fc.constantFrom('4.5 m³', '12 m³'),
  clock: fc.constantFrom('07:00–09:12', '16:35–18:00'),
})

function drawn({ width, height, ...told }: typeof blocks extends fc.Arbitrary<infer T> ? T : never) {
  const words: BlockWords = {
    ...told,
    outlet: 'outlet 3',
    plotId: 'p',
    cans: '225 jerrycans',
    stop: 'Stop at',
    notes: ['first of two', 'by hand'],
  }
  const { texts, boxes, marks } = drawBlock(words, { width, height })
  const areas: Area[] = [
    ...texts
      .filter((text) => text.words && text.words !== '.')
      .map(({ words: what, x, y, size, bold, anchor }) => {
        const wide = emsOf(what, bold) * size
        const left = anchor === 'end' ? x - wide : x
        return { what, left, right: left + wide, top: y - RISE * size, bottom: y }
      }),
    ...boxes
      .filter(({ look }) => look !== 'frame')
      .map((box) => ({ what: 'box', left: box.x, right: box.x + box.width, top: box.y, bottom: box.y + box.height })),
    ...marks.map(({ x, y, size }) => ({ what: 'mark', left: x, right: x + size, top: y, bottom: y + size })),
  ]
  return { areas, words }
}

const meets = (one: Area, other: Area) =>
  one.left < other.right - HAIR &&
  other.left < one.right - HAIR &&
  one.top < other.bottom - HAIR &&
  other.top < one.bottom - HAIR

describe('a turn in its block on the board', () => {
  it('draws nothing over anything else, whatever the size of the block', () => {
    fc.assert(
      fc.property(blocks, (block) => {
        const { areas } = drawn(block)
        const over = areas.flatMap((one, at) =>
          areas
            .slice(at + 1)
            .filter((other) => !(one.what === 'box' && other.what === 'box') && meets(one, other))
            .map((other) => [one, other]),
        )
        expect(over).toEqual([])
      }),
    )
  })

  it('draws nothing outside the block', () => {
    fc.assert(
      fc.property(blocks, (block) => {
        const out = drawn(block).areas.filter(
          ({ left, right, top, bottom }) =>
            left < -HAIR || top < -HAIR || right > block.width + HAIR || bottom > block.height + HAIR,
        )
        expect(out).toEqual([])
      }),
    )
  })

  it('stands across the middle of a block that is one line high', () => {
    fc.assert(
      fc.property(blocks, fc.integer({ min: 6, max: 9 }), (block, height) => {
        const texts = drawn({ ...block, wheels: 0, height }).areas
        for (const { top, bottom } of texts) expect([top < height / 2, bottom > height / 2]).toEqual([true, true])
        const [plot, hours, mark] = texts.map(({ what }) => what.split(' ')[0]!)
        expect([plot, mark]).toEqual([block.plot, 'mark'])
        expect([block.clock, block.clock.slice(0, 5)]).toContain(hours)
      }),
    )
  })
})
