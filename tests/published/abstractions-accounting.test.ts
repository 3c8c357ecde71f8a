import { describe, expect, it } from 'vitest'
import { pumpBalance } from '../../domain/abstractions/balance/pump-balance.ts'
import { measuredVolumeM3 } from '../../domain/abstractions/draw/measured-volume.ts'
import { classTwoErrorFraction, TOOL_ERROR_FRACTION } from '../../domain/works/tool-errors.ts'

describe('water accounting', () => {
  // Unaccounted-for water = delivered at the source - recorded at users (IWA water balance, Lambert and Hirner 2000).
  // Hand-worked case: 1240 - 1054 = 186 m3, 186 / 1240 = 15.0 %. Tolerance 0.001.
  it('finds 186 m3, 15 per cent, between 1240 delivered and 1054 recorded', () => {
    const on = '2031-07-03'
    const balance = pumpBalance({
      lines: [
        { on, kind: 'pumped', volumeM3: 1240, uncertaintyM3: 1240 * 0.05 },
        { on, kind: 'outlets', volumeM3: 1054, uncertaintyM3: 1054 * 0.05 },
      ],
    })
    expect(balance.unexplainedM3).toBeCloseTo(186, 3)
    expect(balance.unexplainedFraction).toBeCloseTo(0.15, 5)
    // By hand: sqrt(62^2 + 52.7^2) = 81.3713 m3, so 186 is more than the tools explain.
    expect(balance.toleranceM3).toBeCloseTo(81.3713, 3)
    expect(balance.verdict).toBe('look-at-these-days')
  })

  // Hand-worked: 3.25 h x 5.6 m3/h = 18.2 m3. Tolerance 0.000001.
  it('makes 18.2 m3 of 3.25 pump hours at 5.6 m3/h', () => {
    const byHours = measuredVolumeM3({ method: 'hours', hours: 3.25, flowM3PerH: 5.6, flowErrorFraction: 0.15 })
    expect(byHours.volumeM3).toBeCloseTo(18.2, 6)
  })
})

describe('errors of the tools', () => {
  // ISO 4064-1 / OIML R 49-1, accuracy class 2, water to 30 °C: 5 % below the transitional flow, 2 % from it up (memory).
  it('follow class 2 on both sides of the transitional flow', () => {
    const at = (flowM3PerH: number) =>
      classTwoErrorFraction({ flowM3PerH, transitionalFlowM3PerH: 0.1, overloadFlowM3PerH: 5 })
    expect([at(0.05), at(0.0999), at(0.1), at(4), at(5), at(5.01)]).toEqual([0.05, 0.05, 0.02, 0.02, 0.02, null])
    const meter = { method: 'meter', openingM3: 10, closingM3: 20, transitionalFlowM3PerH: 0.1 } as const
    expect(measuredVolumeM3({ ...meter, flowM3PerH: 2 }).uncertaintyM3).toBeCloseTo(0.2, 12)
    expect(measuredVolumeM3({ ...meter, flowM3PerH: 0.05 }).uncertaintyM3).toBeCloseTo(0.5, 12)
    expect(measuredVolumeM3(meter).notes).toContain('meter-error-assumed')
  })

  // Bands of the trade (common practice, no source): meter 2 to 5 %, hours 15 to 30 %, bucket 3 to 5 or 10 to 20 %.
  it('lie in the bands that practice gives', () => {
    expect(TOOL_ERROR_FRACTION.meter).toBeLessThanOrEqual(0.05)
    expect(TOOL_ERROR_FRACTION.hours).toBeGreaterThanOrEqual(0.15)
    expect(TOOL_ERROR_FRACTION.hours).toBeLessThanOrEqual(0.3)
    expect(TOOL_ERROR_FRACTION.bucketCareful).toBeLessThanOrEqual(0.05)
    expect(TOOL_ERROR_FRACTION.bucketOrdinary).toBeLessThanOrEqual(0.2)
  })
})
