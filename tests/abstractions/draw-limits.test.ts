import { expect, it } from 'vitest'
import { parseHours } from '../../domain/abstractions/draw/hours.ts'
import { measuredVolumeM3 } from '../../domain/abstractions/draw/measured-volume.ts'
import { meterPassedM3 } from '../../domain/abstractions/draw/meter.ts'

it('decimals of an hour may be minutes from one to fifty-nine, and minutes after a colon end there', () => {
  const otherwise = ['1.00', '1.01', '1.59', '1.60', '1.5', '1.500'].map((text) => parseHours(text).otherwiseHours)
  expect(otherwise).toEqual([null, 1 + 1 / 60, 1 + 59 / 60, null, null, null])
  expect(parseHours('1:59').hours).toBe(1 + 59 / 60)
  expect(() => parseHours('1:60')).toThrow('minutes-over-59')
})

it('a counter began again where less than half of its range passed, and not more than can have', () => {
  const from = (openingM3: number, closingM3: number, mostM3?: number) =>
    meterPassedM3({ openingM3, closingM3, meterDigits: 4, ...(mostM3 === undefined ? {} : { mostM3 }) })
  expect(from(9000, 3999)).toEqual({ volumeM3: 4999, notes: ['meter-rolled-over'] })
  expect(from(9000, 4000)).toEqual({ volumeM3: null, notes: ['closing-below-opening'] })
  expect(from(9995, 3, 8).volumeM3).toBe(8)
  expect(from(9995, 3, 7.999).volumeM3).toBeNull()
  expect(from(120, 120)).toEqual({ volumeM3: 0, notes: [] })
})

it('a reading has more digits than its meter from ten thousand on with four, and then nothing began again', () => {
  const from = (openingM3: number, closingM3: number) => meterPassedM3({ openingM3, closingM3, meterDigits: 4 })
  expect(from(9990, 9999.9).notes).toEqual([])
  expect(from(9990, 10_000)).toEqual({ volumeM3: 10, notes: ['reading-longer-than-meter'] })
  expect(from(10_000, 3)).toEqual({ volumeM3: null, notes: ['reading-longer-than-meter', 'closing-below-opening'] })
  expect(meterPassedM3({ openingM3: 9990, closingM3: 10_000 }).notes).toEqual([])
})

it('a meter replaced says nothing where either of the two ran back', () => {
  const replaced = (oldLastM3: number, newFirstM3: number) =>
    meterPassedM3({ openingM3: 50, closingM3: 9, replacement: { oldLastM3, newFirstM3 } })
  expect(replaced(54, 2).volumeM3).toBe(11)
  expect(replaced(40, 2)).toEqual({ volumeM3: null, notes: ['meter-replaced', 'closing-below-opening'] })
  expect(replaced(54, 12).volumeM3).toBeNull()
})

it('each way of measuring is in doubt by its own part: three tenths of a time by a flow, three hundredths of a tank, a tenth of a count', () => {
  const doubt = (of: Parameters<typeof measuredVolumeM3>[0]) => {
    const { volumeM3, uncertaintyM3, notes } = measuredVolumeM3(of)
    return [volumeM3, Math.round(uncertaintyM3! * 1e9) / 1e9, notes]
  }
  expect(doubt({ method: 'hours', hours: 4, flowM3PerH: 5 })).toEqual([20, 6, ['flow-error-assumed']])
  expect(doubt({ method: 'hours', hours: 4, flowM3PerH: 5, flowErrorFraction: 0.1 })).toEqual([20, 2, []])
  // 200 litres in 20 s are 10 a second, 36 m3/h; four even timings leave a twentieth in doubt.
  const bucket = { method: 'bucket' as const, containerLitres: 200, seconds: [20, 20, 20, 20] }
  expect(doubt({ ...bucket, minutes: 150, underSun: false })).toEqual([90, 4.5, []])
  // A tenth for each hour beyond the first: at two hours and a half 0.15 beside the 0.05.
  expect(doubt({ ...bucket, minutes: 150, underSun: true })[1]).toBeCloseTo(90 * Math.sqrt(0.15 ** 2 + 0.05 ** 2), 9)
  expect(doubt({ ...bucket, minutes: 60, underSun: true })[1]).toBe(1.8)
  // A centimetre at either end on 5 m2, and three hundredths of the 10 m3.
  expect(doubt({ method: 'tank', areaM2: 5, riseM: 2 })).toEqual([10, 0.3082207, []])
  expect(doubt({ method: 'tank', areaM2: 5, riseM: 0, levelErrorM: 0 })).toEqual([0, 0, []])
  expect(doubt({ method: 'tank', areaM2: 5, riseM: -2, levelErrorM: 0 })).toEqual([-10, 0.3, ['tank-fell']])
  expect(doubt({ method: 'jerrycans', count: 50 })).toEqual([1, 0.1, []])
})
