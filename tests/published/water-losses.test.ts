import { describe, expect, it } from 'vitest'
import { depthToVolumeM3 } from '../../domain/units.ts'
import { chamberInflowM3PerH, chamberLimit, chamberRecoveryMinutes, chamberRefill } from '../../domain/water/chamber.ts'
import { fitRecession } from '../../domain/water/loss/recession.ts'
import { sandEvaporationMm } from '../../domain/water/loss/sand-evaporation.ts'

const within = (got: number, expected: number, share: number) =>
  expect(Math.abs(got / expected - 1), `${got} against ${expected}`).toBeLessThan(share)

// Hellwig 1973, J. Hydrology 18, as commonly quoted (memory); straight lines between its rows.
describe('evaporation from sand', () => {
  it.each([
    [0, 0.92],
    [0.1, 0.78],
    [0.15, 0.71],
    [0.3, 0.5],
    [0.4, 0.3666667],
    [0.6, 0.1],
    [0.8, 0.05],
    [1, 0],
    [1.4, 0],
  ])('with the water %s m down is %s of that from open water', (waterTableDepthM, share) => {
    expect(Math.abs(sandEvaporationMm({ openWaterMm: 1, waterTableDepthM })! - share)).toBeLessThan(1e-6)
  })

  it('takes 126 m3 in 30 days of 7 mm from 1200 m2 with the water 30 cm down', () => {
    const depthMm = sandEvaporationMm({ openWaterMm: 7 * 30, waterTableDepthM: 0.3 })!
    expect(depthToVolumeM3({ depthMm, areaM2: 1200 })).toBeCloseTo(126, 2)
  })

  it('is not told with water standing on the sand', () => {
    expect(sandEvaporationMm({ openWaterMm: 7, waterTableDepthM: -0.1 })).toBeNull()
  })
})

// k = ln((h1 - h0) / (h2 - h0)) / days (derived). Tolerance: one part in a hundred thousand.
describe('the recession of a leak', () => {
  const recessionOf = (rest: { startLevelM: number; endLevelM: number; days: number }, stopLevelM = 0) =>
    fitRecession({ rests: [rest], stopLevelM })!.recession!

  it('of 1.80 m to 1.50 m in 30 days halves in 114 days', () => {
    const { kPerDay, halfLifeDays } = recessionOf({ startLevelM: 1.8, endLevelM: 1.5, days: 30 })
    within(kPerDay, 0.006077385, 1e-5)
    within(halfLifeDays, 114.0535, 1e-5)
    within(1.8 * Math.exp(-60 * kPerDay), 1.25, 1e-5)
    within(100 * (1 - Math.exp(-kPerDay)), 0.6058955, 1e-5)
  })

  it('that stops at 0.20 m, from 1.60 m to 1.30 m in 21 days, halves in 60 days', () => {
    const rest = { startLevelM: 1.6, endLevelM: 1.3, days: 21 }
    const { kPerDay, halfLifeDays } = recessionOf(rest, 0.2)
    within(kPerDay, 0.01148391, 1e-5)
    within(halfLifeDays, 60.35813, 1e-5)
    within(0.2 + (1.6 - 0.2) * Math.exp(-60 * kPerDay), 0.9028848, 1e-5)
  })
})

describe('the refill of a chamber', () => {
  // Recalled from Subramanya, Engineering Hydrology (memory): 0.462 an hour, 14.5 and 20.4 m3/h. Tolerance 1e-4.
  it('of a 4 m well that fills half its drawdown of 2.5 m in 90 minutes', () => {
    const areaM2 = Math.PI * 2 ** 2
    const readings = [
      { minutes: 0, drawdownM: 2.5 },
      { minutes: 90, drawdownM: 1.25 },
    ]
    const { conductanceM2PerH } = chamberRefill({ chamberAreaM2: areaM2, readings })!
    within(conductanceM2PerH / areaM2, 0.4620981, 1e-4)
    within(conductanceM2PerH, 5.806896, 1e-4)
    within(chamberInflowM3PerH({ conductanceM2PerH, drawdownM: 2.5 }), 14.51724, 1e-4)
    const wider = (conductanceM2PerH / areaM2) * Math.PI * 2.5 ** 2
    within(chamberInflowM3PerH({ conductanceM2PerH: wider, drawdownM: 2.25 }), 20.41487, 1e-4)
  })

  // C = (A / t) ln(s1 / s2), Q = C s (derived). Tolerance 1e-5.
  it('of a 1.5 m chamber from 1.2 m to 0.5 m in 40 minutes', () => {
    const chamberAreaM2 = Math.PI * 0.75 ** 2
    within(chamberAreaM2, 1.767146, 1e-5)
    const readings = [
      { minutes: 0, drawdownM: 1.2 },
      { minutes: 40, drawdownM: 0.5 },
    ]
    const { conductanceM2PerH } = chamberRefill({ chamberAreaM2, readings })!
    within(conductanceM2PerH / 60, 0.03867702, 1e-5)
    within((chamberInflowM3PerH({ conductanceM2PerH, drawdownM: 0.8 }) * 1000) / 60, 30.94162, 1e-5)
    within(chamberRecoveryMinutes({ conductanceM2PerH, chamberAreaM2, share: 0.9 }), 105.2047, 1e-5)
    const limit = chamberLimit({
      conductanceM2PerH,
      chamberAreaM2,
      waterLevelM: 10,
      stopLevelM: 9,
      pumpFlowM3PerH: 1.2,
    })
    within(limit.steadyDrawdownM!, 0.5171029, 1e-5)
  })

  // Least squares of ln(drawdown) on minutes through all five readings (derived). Tolerance 1e-4.
  it('of a 1.2 m chamber read five times', () => {
    const readings = [
      { minutes: 0, drawdownM: 1 },
      { minutes: 5, drawdownM: 0.82 },
      { minutes: 10, drawdownM: 0.68 },
      { minutes: 20, drawdownM: 0.45 },
      { minutes: 30, drawdownM: 0.31 },
    ]
    const { slopePerMin, conductanceM2PerH } = chamberRefill({ chamberAreaM2: Math.PI * 0.6 ** 2, readings })!
    within(slopePerMin, -0.03923288, 1e-4)
    within(conductanceM2PerH / 60, 0.04437134, 1e-4)
  })
})
