import { describe, expect, it } from 'vitest'
import { chamberLimit, chamberRefill } from '../../../domain/water/chamber.ts'
import { dailyLossM3 } from '../../../domain/water/loss/loss.ts'
import { fitRecession, lossParts } from '../../../domain/water/loss/recession.ts'
import { sandEvaporationMm } from '../../../domain/water/loss/sand-evaporation.ts'
import { wedgeSandBody } from '../../../domain/water/sand/body.ts'

const rest = (fallCm: number, days: number) => ({ startLevelM: 99, endLevelM: 99 - fallCm / 100, days })

describe('the fall on rest days', () => {
  it('is all centimetres over all days, with its standard error', () => {
    const fall = fitRecession({ rests: [rest(1, 2), rest(2, 2), rest(1.5, 2), rest(1.5, 2), rest(1, 2), rest(2, 2)] })!
    expect(fall.fallCmPerDay).toBeCloseTo(0.75, 9)
    // Deviations of half a centimetre in four of six rests: s = sqrt(1/5), over sqrt(6) rests of 2 days each.
    expect(fall.standardErrorCmPerDay).toBeCloseTo(Math.sqrt(1 / 5) / Math.sqrt(6) / 2, 9)
    expect(fall).toMatchObject({ rests: 6, restDays: 12, isEnough: true, sense: 'falls', recession: null })
  })

  it('says when there are too few rests, and has no error from one', () => {
    expect(fitRecession({ rests: [rest(1, 2)] })).toMatchObject({ isEnough: false, standardErrorCmPerDay: null })
    expect(fitRecession({ rests: [] })).toBeNull()
  })

  it('believes a rise from the banks only beyond its own error', () => {
    // Six rests of four days that rise by 3 cm each: readings of a centimetre leave 0.14 cm a day in doubt, a fifth of the rise.
    const clear = fitRecession({ rests: [-3, -2.5, -3.5, -3, -2, -4].map((cm) => rest(cm, 4)) })!
    expect(clear.fallCmPerDay).toBeCloseTo(-0.75, 9)
    expect(clear.sense).toBe('banks-return')
    const scattered = fitRecession({ rests: [3, -4, 2, -5, 4, -2].map((cm) => rest(cm, 2)) })!
    expect(scattered.fallCmPerDay).toBeLessThan(0)
    expect(scattered.sense).toBe('cannot-tell')
    // Alike to the millimetre by chance, but no larger than the readings may be wrong.
    expect(fitRecession({ rests: [-0.2, -0.2, -0.2, -0.2, -0.2].map((cm) => rest(cm, 2)) })!.sense).toBe('cannot-tell')
    expect(fitRecession({ rests: [rest(-8, 2), rest(-8, 2)] })!.sense).toBe('cannot-tell')
  })

  it('parts into evaporation, through the yield, and a leak that remains', () => {
    const parts = lossParts({ fallCmPerDay: 1.5, sandEvaporationMmPerDay: 2, specificYield: 0.25 })
    expect(parts.evaporationCmPerDay).toBeCloseTo(0.8, 9)
    expect(parts.remainderCmPerDay).toBeCloseTo(0.7, 9)
  })

  it('evaporates nothing on a day on which open water gives off nothing, and less than nothing is refused', () => {
    const of = (openWaterMm: number) => () => sandEvaporationMm({ openWaterMm, waterTableDepthM: 0.3 })
    expect(of(0)()).toBe(0)
    expect(of(-0.1)).toThrow('evaporation-below-zero')
  })

  it('has no recession where the level is at the foot of the leak', () => {
    const rest = { startLevelM: 1, endLevelM: 0.5, days: 10 }
    expect(fitRecession({ rests: [rest], stopLevelM: 0.5 })!.recession).toBeNull()
    expect(() => fitRecession({ rests: [{ ...rest, days: 0 }] })).toThrow(
      expect.objectContaining({ code: 'days-not-above-zero' }),
    )
  })

  it('is worth less water the lower it stands', () => {
    const specificYield = { low: 0.2, likely: 0.25, high: 0.3 }
    const body = wedgeSandBody({
      crestHeightM: 2,
      crestWidthM: 15,
      bedSlope: 0.02,
      valleyShape: 'rectangle',
      crestLevelM: 2,
      specificYield,
    })
    const lossAt = (waterLevelM: number) => dailyLossM3({ body, waterLevelM, loss: { fallCmPerDay: 1 } })
    // 93.75 y^2 m3 at a height y.
    expect(lossAt(2)).toBeCloseTo(93.75 * (2 ** 2 - 1.99 ** 2), 9)
    expect(lossAt(2.5)).toBeCloseTo(lossAt(2), 9)
    expect(lossAt(1)).toBeLessThan(0.51 * lossAt(2))
    expect(dailyLossM3({ body, waterLevelM: 1, loss: { dailyM3: 1.4 } })).toBe(1.4)
  })
})

describe('a pump in a chamber', () => {
  const chamber = { conductanceM2PerH: 4, chamberAreaM2: 2, waterLevelM: 10, stopLevelM: 9 }

  it('that draws less than the sand gives settles above its stop mark', () => {
    expect(chamberLimit({ ...chamber, pumpFlowM3PerH: 3 })).toEqual({
      sustainedM3PerH: 4,
      steadyDrawdownM: 0.75,
      outrunsChamber: false,
      minutesToStop: null,
    })
  })

  it('that outruns its chamber reaches the stop mark in the time the water balance gives', () => {
    const { minutesToStop, outrunsChamber } = chamberLimit({ ...chamber, pumpFlowM3PerH: 6 })
    expect(outrunsChamber).toBe(true)
    // Step A ds/dt = Q - C s by tenths of a second until the drawdown is the head.
    let [drawdownM, hours] = [0, 0]
    for (; drawdownM < 1; hours += 1 / 36000) drawdownM += (6 - 4 * drawdownM) / 2 / 36000
    expect(Math.abs(minutesToStop! - hours * 60)).toBeLessThan(0.05)
  })

  it('gives nothing once the sand has drained to the stop mark', () => {
    expect(chamberLimit({ ...chamber, waterLevelM: 8.9, pumpFlowM3PerH: 3 })).toMatchObject({
      sustainedM3PerH: 0,
      minutesToStop: 0,
    })
  })

  it('that does not refill has no conductance', () => {
    const readings = [
      { minutes: 0, drawdownM: 1 },
      { minutes: 30, drawdownM: 1 },
    ]
    expect(chamberRefill({ chamberAreaM2: 2, readings })).toBeNull()
    expect(() => chamberRefill({ chamberAreaM2: 2, readings: [readings[0]!] })).toThrow(
      expect.objectContaining({ code: 'refill-too-few-readings' }),
    )
  })
})
