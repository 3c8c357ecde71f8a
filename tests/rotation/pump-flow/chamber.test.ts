import { describe, expect, it } from 'vitest'
import { cappedByChambers } from '../../../domain/rotation/pump-flow/chamber.ts'

const DAY = '2026-06-01'
const pump = (id: string, weirId: string, flows: number[]) => ({
  id,
  number: Number(id),
  name: id,
  weirId,
  outletsAtOnce: 1,
  flowM3PerHByDay: { [DAY]: flows },
})

describe('a chamber that refills slower than its pump lifts', () => {
  it('holds the pump in its strong hours and leaves the weak ones alone', () => {
    const [held] = cappedByChambers({
      pumps: [pump('1', 'fig', [0, 2, 6, 3])],
      sustainedM3PerHByWeir: new Map([['fig', 4]]),
    })
    expect(held!.flowM3PerHByDay[DAY]).toEqual([0, 2, 4, 3])
    expect(held!.chamberM3PerH).toBe(4)
  })

  it('is shared by two pumps in proportion to what each would lift', () => {
    const held = cappedByChambers({
      pumps: [pump('1', 'fig', [6]), pump('2', 'fig', [2])],
      sustainedM3PerHByWeir: new Map([['fig', 4]]),
    })
    expect(held.map((one) => one.flowM3PerHByDay[DAY])).toEqual([[3], [1]])
  })

  it('says nothing of a weir without a refill test or of a pump that it can feed', () => {
    const pumps = [pump('1', 'fig', [6]), pump('2', 'reed', [6])]
    expect(cappedByChambers({ pumps, sustainedM3PerHByWeir: new Map([['reed', 7]]) })).toEqual(pumps)
  })
})
