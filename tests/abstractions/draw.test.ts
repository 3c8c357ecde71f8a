import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseHours } from '../../domain/abstractions/draw/hours.ts'
import { measuredVolumeM3 } from '../../domain/abstractions/draw/measured-volume.ts'
import { meterPassedM3 } from '../../domain/abstractions/draw/meter.ts'
import { InputError } from '../../domain/input-error.ts'
import { bucketFlow, flowTestChange } from '../../domain/works/bucket.ts'

describe('a meter', () => {
  it('that passes its last digit counts on: 99 987 to 00 041 is 54 m3', () => {
    const measured = measuredVolumeM3({ method: 'meter', openingM3: 99_987, closingM3: 41, meterDigits: 5 })
    expect(measured).toMatchObject({ volumeM3: 54, grade: 'measured' })
    expect(measured.notes).toContain('meter-rolled-over')
  })

  it('counts the litres that passed, whatever its digits and wherever it stood', () => {
    const turn = fc.integer({ min: 1, max: 9 }).chain((meterDigits) => {
      const rangeLitres = 10 ** meterDigits * 1000
      return fc.record({
        meterDigits: fc.constant(meterDigits),
        openingLitres: fc.integer({ min: 0, max: rangeLitres - 1 }),
        passedLitres: fc.integer({ min: 0, max: rangeLitres / 2 - 1 }),
      })
    })
    fc.assert(
      fc.property(turn, ({ meterDigits, openingLitres, passedLitres }) => {
        const closingLitres = (openingLitres + passedLitres) % (10 ** meterDigits * 1000)
        const readings = { openingM3: openingLitres / 1000, closingM3: closingLitres / 1000, meterDigits }
        const { volumeM3, notes } = meterPassedM3(readings)
        expect(Math.round(volumeM3! * 1000)).toBe(passedLitres)
        expect(notes.includes('meter-rolled-over')).toBe(closingLitres < openingLitres)
      }),
    )
  })

  it('that ran back by more than can be, or has unknown digits, gives no volume and says so', () => {
    const swapped = measuredVolumeM3({ method: 'meter', openingM3: 4520, closingM3: 4253, meterDigits: 5 })
    const unknown = measuredVolumeM3({ method: 'meter', openingM3: 99_987, closingM3: 41 })
    for (const measured of [swapped, unknown]) {
      expect(measured).toMatchObject({ volumeM3: null, uncertaintyM3: null })
      expect(measured.notes).toContain('closing-below-opening')
    }
  })

  it('is not believed to have rolled over by more than the pump can give', () => {
    const readings = { openingM3: 8520, closingM3: 1853, meterDigits: 4 }
    expect(meterPassedM3(readings).volumeM3).toBe(3333)
    expect(meterPassedM3({ ...readings, mostM3: 40 })).toEqual({ volumeM3: null, notes: ['closing-below-opening'] })
    expect(meterPassedM3({ openingM3: 9995, closingM3: 3, meterDigits: 4, mostM3: 40 }).volumeM3).toBe(8)
  })

  it('that was replaced adds the old one to its last reading and the new one from its first', () => {
    const replacement = { oldLastM3: 12, newFirstM3: 3, newMeterDigits: 5 }
    const measured = measuredVolumeM3({
      method: 'meter',
      openingM3: 9_990,
      closingM3: 8.5,
      meterDigits: 4,
      replacement,
    })
    expect(measured.volumeM3).toBe(27.5)
    expect(measured.notes).toEqual(expect.arrayContaining(['meter-replaced', 'meter-rolled-over']))
  })

  it('read to whole cubic metres is in doubt by half of one at each end', () => {
    const measured = measuredVolumeM3({
      method: 'meter',
      openingM3: 100,
      closingM3: 110,
      meterMaxErrorFraction: 0,
      readingStepM3: 1,
    })
    expect(measured.uncertaintyM3).toBeCloseTo(Math.SQRT1_2, 12)
  })

  it('refuses what no counter can show', () => {
    expect(() => meterPassedM3({ openingM3: -1, closingM3: 3 })).toThrow(InputError)
    expect(() => meterPassedM3({ openingM3: 1, closingM3: Number.NaN })).toThrow(InputError)
    const ofDigits = (meterDigits: number) => () => meterPassedM3({ openingM3: 1, closingM3: 3, meterDigits })
    for (const digits of [0, -2, 4.5, 10, Number.NaN]) expect(ofDigits(digits), String(digits)).toThrow(RangeError)
    for (const digits of [1, 9]) expect(ofDigits(digits)().volumeM3).toBe(2)
  })
})

describe('hours, buckets, tanks and jerrycans', () => {
  it('are estimates where a time is multiplied by a flow, measurements where a quantity is seen', () => {
    const grades = [
      measuredVolumeM3({ method: 'hours', hours: 2, flowM3PerH: 5 }),
      measuredVolumeM3({
        method: 'bucket',
        containerLitres: 20,
        seconds: [12, 12, 12, 12],
        minutes: 60,
        underSun: true,
      }),
      measuredVolumeM3({ method: 'tank', areaM2: 4, riseM: 0.5 }),
      measuredVolumeM3({ method: 'jerrycans', count: 50 }),
    ].map(({ volumeM3, grade }) => [volumeM3, grade])
    expect(grades).toEqual([
      [10, 'estimated'],
      [6, 'estimated'],
      [2, 'measured'],
      [1, 'measured'],
    ])
  })

  it('show the mean and spread of four timings, and doubt grows with the spread', () => {
    const even = bucketFlow({ containerLitres: 200, seconds: [40, 40, 40, 40] })
    const uneven = bucketFlow({ containerLitres: 200, seconds: [36, 44, 38, 42] })
    expect(even).toMatchObject({ flowM3PerH: 18, meanSeconds: 40, spreadSeconds: 0, errorFraction: 0.05, notes: [] })
    expect(uneven).toMatchObject({ flowM3PerH: 18, spreadSeconds: 8 })
    // Standard deviation by hand: sqrt((16 + 16 + 4 + 4) / 3) = 3.6515 s, so its mean is off by 1.8257 s in 40.
    expect(uneven.errorFraction).toBeCloseTo(Math.hypot(0.05, 1.8257 / 40), 5)
  })

  it('say when a bucket fills too fast or was timed too seldom', () => {
    const { notes, errorFraction } = bucketFlow({ containerLitres: 10, seconds: [2.5] })
    expect(notes).toEqual(['timing-under-three-seconds', 'fewer-than-four-timings'])
    expect(errorFraction).toBe(0.2)
    expect(() => bucketFlow({ containerLitres: 10, seconds: [] })).toThrow(InputError)
  })

  it('point out an outlet whose flow fell by a fifth', () => {
    expect(flowTestChange({ earlierM3PerH: 5, laterM3PerH: 4 }).fellByAFifth).toBe(true)
    expect(flowTestChange({ earlierM3PerH: 5, laterM3PerH: 4.05 }).fellByAFifth).toBe(false)
  })
})

describe('hours as people write them', () => {
  it.each([
    ['1:30', 1.5, 'hours-and-minutes', null],
    ['1 h 30', 1.5, 'hours-and-minutes', null],
    ['0:05', 5 / 60, 'hours-and-minutes', null],
    ['1.5', 1.5, 'decimal-hours', null],
    ['1,5', 1.5, 'decimal-hours', null],
    ['2', 2, 'decimal-hours', null],
    ['1.30', 1.3, 'decimal-hours', 1.5],
    ['1.75', 1.75, 'decimal-hours', null],
  ])('%s is %s hours, read as %s', (text, hours, readAs, otherwiseHours) => {
    expect(parseHours(text)).toEqual({ hours, readAs, otherwiseHours })
  })

  it.each(['', 'two', '1:75', '-1', '1:', '1.5.2'])('%s is asked again', (text) => {
    expect(() => parseHours(text)).toThrow(InputError)
  })

  it('keep every whole minute of a day', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1439 }), (minutes) => {
        const text = `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`
        expect(Math.round(parseHours(text).hours * 60)).toBe(minutes)
      }),
    )
  })
})
