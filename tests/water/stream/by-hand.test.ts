import { describe, expect, it } from 'vitest'
import {
  chamberInflowM3PerH,
  chamberLimit,
  chamberRecoveryMinutes,
  chamberRefill,
} from '../../../domain/water/chamber.ts'
import { readingDoubt, waterLevelFromReadingM } from '../../../domain/water/level.ts'
import { bucketFlow, floatFlow } from '../../../domain/water/stream/gauging.ts'

describe('a stream gauged by a float', () => {
  // 1 m of 0 to 0.4 m deep and 3 m of 0.4 to 0.2: 0.2 and 0.9 m2. Ten metres in 25 s are 0.4 m/s, three quarters of it 0.3.
  const points = [
    { offsetM: 1, depthM: 0 },
    { offsetM: 2, depthM: 0.4 },
    { offsetM: 5, depthM: 0.2 },
  ]
  const gauged = (seconds: number[], more: object = {}) => floatFlow({ lengthM: 10, seconds, points, ...more })!

  it('is area, speed and factor together, with the scatter of its times', () => {
    const found = gauged([20, 30])
    expect(found.areaM2).toBeCloseTo(1.1, 12)
    expect(found.surfaceVelocityMPerS).toBeCloseTo(0.4, 12)
    expect(found.flowM3PerH.likely).toBeCloseTo(1.1 * 0.3 * 3600, 9)
    // Two times 10 s apart: 5 s is the error of their mean, a fifth of it. The factor errs by 0.095 of 0.75, the area by a tenth.
    expect(found.doubtParts).toEqual({
      factor: expect.closeTo(0.095 / 0.75, 12),
      area: 0.1,
      times: expect.closeTo(0.2, 12),
    })
    expect(found.doubt).toBeCloseTo(Math.sqrt(0.04 + 0.01 + (0.095 / 0.75) ** 2), 12)
    expect(found.flowM3PerH.low).toBeCloseTo(found.flowM3PerH.likely * (1 - found.doubt), 9)
    expect(found.flowM3PerH.high).toBeCloseTo(found.flowM3PerH.likely * (1 + found.doubt), 9)
  })

  it('counts a fifth for one float alone, nothing for three of one time, and never doubts more than all', () => {
    expect(gauged([25]).doubtParts.times).toBe(0.2)
    expect(gauged([25, 25, 25]).doubtParts.times).toBe(0)
    expect(gauged([1, 1000]).doubt).toBeLessThanOrEqual(1)
    expect(gauged([10, 20, 30]).doubtParts.times).toBeCloseTo(10 / Math.sqrt(3) / 20, 12)
    expect(gauged([25], { surfaceFactor: 0.66 }).flowM3PerH.likely).toBeCloseTo(1.1 * 0.4 * 0.66 * 3600, 9)
  })

  it('is nothing where no water stands, and refused where it cannot be', () => {
    expect(floatFlow({ lengthM: 10, seconds: [20], points: points.map((one) => ({ ...one, depthM: 0 })) })).toBeNull()
    const of = (more: object) => () => gauged([25], more)
    expect(of({ lengthM: 0 })).toThrow('length-not-above-zero')
    expect(of({ seconds: [] })).toThrow('no-times')
    expect(of({ seconds: [25, 0] })).toThrow('time-not-above-zero')
    expect(of({ points: points.slice(1) })).not.toThrow()
    expect(of({ points: points.slice(2) })).toThrow('too-few-soundings')
    expect(of({ points: [points[0], points[0]] })).toThrow('offsets-not-rising')
    expect(of({ points: [{ offsetM: 0, depthM: -0.1 }, points[2]] })).toThrow('depth-below-zero')
  })
})

describe('a stream caught in a vessel', () => {
  it('is litres by seconds, sure to a twentieth with four fillings of ten seconds, else to a fifth', () => {
    expect(bucketFlow({ litres: 20, seconds: [10, 10, 10, 10] })).toMatchObject({
      flowM3PerH: { likely: 7.2 },
      doubt: 0.05,
    })
    for (const seconds of [[10, 10, 10], [9.9, 10, 10, 10], [10]])
      expect(bucketFlow({ litres: 20, seconds }).doubtParts.vessel).toBe(0.2)
    expect(bucketFlow({ litres: 20, seconds: [10] }).doubtParts.times).toBe(0)
    expect(bucketFlow({ litres: 20, seconds: [8, 12] }).doubtParts.times).toBeCloseTo(0.2, 12)
  })

  it('takes three seconds to fill, no less', () => {
    expect(bucketFlow({ litres: 20, seconds: [3] }).flowM3PerH.likely).toBeCloseTo(24, 12)
    expect(() => bucketFlow({ litres: 20, seconds: [2.9] })).toThrow('filling-too-short')
    expect(() => bucketFlow({ litres: 0, seconds: [10] })).toThrow('litres-not-above-zero')
  })
})

describe('a chamber that fills again', () => {
  /** Water 1 m down that comes back by half in every ten minutes, in a chamber of 2 m2. */
  const halving = (...minutes: number[]) => minutes.map((at) => ({ minutes: at, drawdownM: 0.5 ** (at / 10) }))
  const test = (readings: { minutes: number; drawdownM: number }[], chamberAreaM2 = 2) =>
    chamberRefill({ chamberAreaM2, readings })

  it('tells its conductance by two readings or more: 2 m2, six times the logarithm of two an hour', () => {
    for (const readings of [halving(0, 10), halving(0, 7, 30), halving(5, 10, 15, 20)]) {
      expect(test(readings)!.conductanceM2PerH).toBeCloseTo(2 * 6 * Math.LN2, 9)
      expect(test(readings)!.readings).toBe(readings.length)
      expect(test(readings)!.slopePerMin).toBeCloseTo(-Math.LN2 / 10, 12)
    }
    expect(
      test([
        { minutes: 0, drawdownM: 1 },
        { minutes: 5, drawdownM: 1 },
      ]),
    ).toBeNull()
    expect(
      test([
        { minutes: 0, drawdownM: 1 },
        { minutes: 5, drawdownM: 2 },
      ]),
    ).toBeNull()
  })

  it('is refused where it cannot be', () => {
    expect(() => test(halving(0, 10), 0)).toThrow('chamber-area-not-above-zero')
    expect(() => test(halving(0))).toThrow('refill-too-few-readings')
    expect(() => test(halving(5, 5))).toThrow('refill-readings-at-one-time')
    for (const wrong of [
      { minutes: -1, drawdownM: 1 },
      { minutes: 5, drawdownM: 0 },
      { minutes: 5, drawdownM: -1 },
    ])
      expect(() => test([...halving(0), wrong])).toThrow('refill-reading-out-of-range')
  })

  it('gives by its head, and is outrun by a pump that draws more than that', () => {
    expect([
      chamberInflowM3PerH({ conductanceM2PerH: 3, drawdownM: 0.5 }),
      chamberInflowM3PerH({ conductanceM2PerH: 3, drawdownM: -1 }),
    ]).toEqual([1.5, 0])
    const limit = (pumpFlowM3PerH: number, waterLevelM = 101) =>
      chamberLimit({ conductanceM2PerH: 3, chamberAreaM2: 2, waterLevelM, stopLevelM: 100, pumpFlowM3PerH })
    expect(limit(1.5)).toEqual({ sustainedM3PerH: 3, steadyDrawdownM: 0.5, outrunsChamber: false, minutesToStop: null })
    expect(limit(3)).toMatchObject({ outrunsChamber: false, steadyDrawdownM: 1 })
    // Twice what comes in: two thirds of an hour times the logarithm of two.
    expect(limit(6)).toMatchObject({
      outrunsChamber: true,
      steadyDrawdownM: null,
      minutesToStop: expect.closeTo(40 * Math.LN2, 9),
    })
    expect(limit(6, 99)).toMatchObject({
      sustainedM3PerH: 0,
      outrunsChamber: true,
      minutesToStop: expect.closeTo(0, 12),
    })
  })

  it('comes back to a half, and to three quarters in twice the time', () => {
    const back = (share: number) =>
      chamberRecoveryMinutes({ conductanceM2PerH: 12 * Math.LN2, chamberAreaM2: 2, share })
    expect([back(0), back(0.5), back(0.75)].map((minutes) => minutes + 0)).toEqual(
      [0, 10, 20].map((each) => expect.closeTo(each, 9)),
    )
    for (const wrong of [1, -0.1]) expect(() => back(wrong)).toThrow('share-not-below-one')
  })
})

describe('a level read at a mark', () => {
  it('lies so many centimetres under it', () => {
    expect(waterLevelFromReadingM({ markLevelM: 102, depthToWaterCm: 70 })).toBeCloseTo(101.3, 12)
  })

  it('is doubted by the pump, the hour and its age, from the hour and the day on at which each begins', () => {
    const doubt = (readHour: number, hoursSincePumping: number | 'running' | null, ageDays: number) => {
      const { levelErrorCm, extraLevelErrorCm, reasons } = readingDoubt({ readHour, hoursSincePumping, ageDays })
      expect(levelErrorCm).toBe(2 + extraLevelErrorCm)
      return [extraLevelErrorCm, ...reasons]
    }
    expect(doubt(6, 8, 10)).toEqual([0])
    expect(doubt(6, 7.9, 0)).toEqual([3, 'read-soon-after-pumping'])
    expect(doubt(6, 0, 0)).toEqual([3, 'read-soon-after-pumping'])
    expect(doubt(6, 'running', 0)).toEqual([8, 'read-while-pumping'])
    expect(doubt(6, null, 0)).toEqual([3, 'pump-off-unknown'])
    expect([doubt(4, 8, 0), doubt(8.9, 8, 0)]).toEqual([[0], [0]])
    expect([doubt(3.9, 8, 0), doubt(9, 8, 0), doubt(0, 8, 0)]).toEqual(Array(3).fill([1, 'read-in-the-day']))
    expect(doubt(6, 8, 11)).toEqual([1, 'reading-old'])
    expect(doubt(12, null, 14)).toEqual([8, 'pump-off-unknown', 'read-in-the-day', 'reading-old'])
    for (const hour of [-0.1, 24]) expect(() => doubt(hour, 8, 0)).toThrow('hour-not-in-day')
    expect(() => doubt(6, -1, 0)).toThrow('hours-below-zero')
  })
})
