import { describe, expect, it } from 'vitest'
import { InputError } from '../../domain/input-error.ts'
import { broughtInHoursM3, bucketFlow, changesMuch, flowTestChange } from '../../domain/works/bucket.ts'

// Bounds as the docstring names them: three seconds and several times by the volumetric method; ten seconds and four fills
// are common practice, no source.
const notes = (...seconds: number[]) => bucketFlow({ containerLitres: 20, seconds }).notes

describe('a bucket and a watch', () => {
  it('is quick under three seconds in any of the fills, and short under ten on average, not at them', () => {
    expect(notes(2.9, 30, 30, 30)).toEqual(['timing-under-three-seconds'])
    expect(notes(3, 3, 3, 3)).toEqual(['timing-under-ten-seconds'])
    expect(notes(9, 9, 9, 12)).toEqual(['timing-under-ten-seconds'])
    expect(notes(8, 12, 10, 10)).toEqual([])
  })

  it('asks for four fills', () => {
    expect(notes(20, 20, 20)).toEqual(['fewer-than-four-timings'])
    expect(notes(20, 20, 20, 20)).toEqual([])
  })

  it('takes no container without water and no fill without time', () => {
    expect(() => bucketFlow({ containerLitres: 0, seconds: [20] })).toThrow()
    expect(() => bucketFlow({ containerLitres: 20, seconds: [20, 0] })).toThrow()
    expect(() => bucketFlow({ containerLitres: 20, seconds: [] })).toThrow()
  })
})

describe('a flow beside an earlier one', () => {
  it('fell by a fifth at 4 where 5 were before, not just above', () => {
    expect(flowTestChange({ earlierM3PerH: 5, laterM3PerH: 4 })).toMatchObject({ fellByAFifth: true })
    expect(flowTestChange({ earlierM3PerH: 5, laterM3PerH: 4.01 })).toMatchObject({ fellByAFifth: false })
    expect(flowTestChange({ earlierM3PerH: 5, laterM3PerH: 6 }).changeFraction).toBeCloseTo(0.2, 9)
  })

  it('cannot be told where nothing ran before', () => {
    expect(() => flowTestChange({ earlierM3PerH: 0, laterM3PerH: 4 })).toThrow()
  })
})

it('is far from the one before at a third less or a half more, not just before', () => {
  const isFar = (laterM3PerH: number) => changesMuch({ earlierM3PerH: 6, laterM3PerH })
  expect([4, 4.01, 6, 8.99, 9].map(isFar)).toEqual([true, false, false, false, true])
  for (const none of [0, -1]) {
    expect(() => isFar(none)).toThrow(InputError)
    expect(() => changesMuch({ earlierM3PerH: none, laterM3PerH: 4 })).toThrow(InputError)
  }
})

it('a turn falls short where its hours bring less than nine tenths of it, and is told what they bring', () => {
  const of = (testedM3PerH: number) => broughtInHoursM3({ volumeM3: 10, hours: 3, testedM3PerH })
  expect([of(4), of(3), of(2), of(0)]).toEqual([null, null, 6, 0])
  expect(of(2.99)).toBeCloseTo(8.97, 12)
})
