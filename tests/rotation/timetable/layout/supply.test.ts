import { describe, expect, it } from 'vitest'
import { supplyOf, turnAlone } from '../../../../domain/rotation/timetable/pump/supply.ts'
import { chanceOf } from '../../../loop/chance.ts'
import { runs } from '../../../support/runs.ts'

const MINUTES = 1440
const pumping = (from: number, to: number, litres: number) => new Float64Array(MINUTES).fill(litres, from, to)

describe('a turn that nobody draws beside', () => {
  const supply = supplyOf([pumping(600, 900, 50)])
  const ends = (hours: Partial<Parameters<typeof turnAlone>[2]>, litresPerMinute = 40) =>
    turnAlone(
      supply,
      { day: 0, litresPerMinute },
      { startMinute: 610, shortestEnd: 625, lastEnd: 800, wanted: 2000, ...hours },
    )

  it('ends in the minute in which its water is given', () => {
    expect(ends({})).toEqual({ endMinute: 660, given: 2000 })
    expect(ends({ wanted: 2001 })).toEqual({ endMinute: 661, given: 2040 })
  })
  it('takes no more than the pump gives, whatever its outlet carries', () => {
    expect(ends({}, 80)).toEqual({ endMinute: 650, given: 2000 })
  })
  it('runs for the shortest turn, though it wants less', () => {
    expect(ends({ wanted: 1 })).toEqual({ endMinute: 625, given: 600 })
  })
  it('ends with its hours, though it wants more', () => {
    expect(ends({ lastEnd: 640 })).toEqual({ endMinute: 640, given: 1200 })
    expect(ends({ lastEnd: 620 })).toEqual({ endMinute: 620, given: 400 })
  })
  it('ends when nothing comes any more, but not before the shortest turn', () => {
    expect(ends({ startMinute: 880, shortestEnd: 895, lastEnd: 1000 })).toEqual({ endMinute: 900, given: 800 })
    expect(ends({ startMinute: 890, shortestEnd: 905, lastEnd: 1000 })).toEqual({ endMinute: 905, given: 400 })
  })
})

it('is what minute after minute comes to, on drawn days with pauses', () => {
  const chance = chanceOf(5)
  const below = (most: number) => Math.floor(chance.part() * most)
  for (let run = 0; run < runs(200).numRuns; run++) {
    const flow = new Float64Array(MINUTES)
    for (let hour = 0; hour < 24; hour++)
      flow.fill(chance.part() < 0.3 ? 0 : below(9000) / 60, hour * 60, hour * 60 + 60)
    const startMinute = below(MINUTES - 30)
    const shortestEnd = startMinute + below(30)
    const lastEnd = Math.min(MINUTES, startMinute + below(400))
    const [litresPerMinute, wanted] = [below(6000) / 60, below(20_000) - 1e-6]
    let [endMinute, given] = [startMinute, 0]
    while (endMinute < lastEnd && (endMinute < shortestEnd || (given < wanted && flow[endMinute]! > 0)))
      given += Math.min(flow[endMinute++]!, litresPerMinute)
    const turn = turnAlone(supplyOf([flow]), { day: 0, litresPerMinute }, { startMinute, shortestEnd, lastEnd, wanted })
    expect(turn.endMinute).toBe(endMinute)
    expect(turn.given).toBeCloseTo(given, 6)
  }
})
