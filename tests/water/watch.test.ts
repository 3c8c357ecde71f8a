import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { InputError } from '../../domain/input-error.ts'
import { specificYieldOf } from '../../domain/water/data/specific-yield.ts'
import { outlookChart } from '../../domain/water/outlook/chart.ts'
import { rainYears } from '../../domain/water/outlook/rain-years.ts'
import { wedgeSandBody } from '../../domain/water/sand/body.ts'
import { levelAfterTakingM } from '../../domain/water/sand/level-today.ts'
import { drainableStorageM3 } from '../../domain/water/sand/storage.ts'
import { floatFlow } from '../../domain/water/stream/gauging.ts'
import { permitUse, permitYear } from '../../domain/water/stream/share.ts'

const body = wedgeSandBody({
  crestHeightM: 2,
  crestWidthM: 15,
  bedSlope: 0.01,
  valleyShape: 'parabola',
  crestLevelM: 100,
  specificYield: specificYieldOf('medium-sand'),
})
const storedM3 = (waterLevelM: number) => drainableStorageM3({ body, waterLevelM }).likelyM3

describe('the level brought forward', () => {
  it('holds what stood there less what was taken, and is never below the bed', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 98.2, max: 100, noNaN: true }),
        fc.double({ min: 0, max: 600, noNaN: true }),
        (at, taken) => {
          const levelM = levelAfterTakingM({ body, waterLevelM: at, takenM3: taken })
          expect(storedM3(levelM)).toBeCloseTo(Math.max(0, storedM3(at) - taken), 3)
          expect(levelM).toBeGreaterThanOrEqual(body.bedLevelM)
        },
      ),
    )
  })

  it('rises by what the banks give back, up to the crest', () => {
    expect(levelAfterTakingM({ body, waterLevelM: 99, takenM3: -10 })).toBeGreaterThan(99)
    expect(levelAfterTakingM({ body, waterLevelM: 99.9, takenM3: -500 })).toBe(100)
  })
})

describe('rain years', () => {
  const year = (name: number, days: number) =>
    Array.from({ length: days }, (_, day) => ({
      fellOn: new Date(Date.UTC(name, 0, 1 + day)).toISOString().slice(0, 10),
      rainMm: 1,
    }))

  it('keep step through leap years without losing rain', () => {
    const found = rainYears({ days: [...year(2004, 366), ...year(2005, 365)] }).years
    expect(found.map(({ rainMm }) => rainMm.length)).toEqual([365, 365])
    expect(found.map(({ rainMm }) => rainMm.reduce((sum, mm) => sum + mm, 0))).toEqual([366, 365])
    expect(found[0]!.rainMm[58]).toBe(2) // 28 and 29 February
  })

  it('take up to seven unread days for dry and leave out a year with more', () => {
    expect(rainYears({ days: year(2005, 358) })).toMatchObject({ years: [{ name: '2005' }], leftOut: [] })
    expect(rainYears({ days: year(2005, 357) })).toEqual({ years: [], leftOut: [{ name: '2005', unreadDays: 8 }] })
  })

  it('let the later of two figures of a day count', () => {
    const later = { fellOn: '2005-01-01', rainMm: 9 }
    expect(rainYears({ days: [...year(2005, 365), later] }).years[0]!.rainMm[0]).toBe(9)
    expect(rainYears({ days: [...year(2005, 365), { ...later, rainMm: null }] }).years[0]!.rainMm[0]).toBe(1)
  })
})

describe('a permit year', () => {
  it.each([
    ['06-01', '2026-05-31', '2025-06-01', '2026-05-31'],
    ['06-01', '2026-06-01', '2026-06-01', '2027-05-31'],
    ['03-01', '2027-08-01', '2027-03-01', '2028-02-29'],
  ])('that begins on %s holds %s from %s to %s', (startsOn, on, fromOn, toOn) => {
    expect(permitYear({ startsOn, on })).toEqual({ fromOn, toOn })
  })

  it('cannot begin on a day that most years lack', () => {
    expect(() => permitYear({ startsOn: '02-29', on: '2026-06-01' })).toThrow(InputError)
  })

  it('is never said to be used up before it is, and the part rises with each draw', () => {
    const draws = fc.array(
      fc.record({ day: fc.integer({ min: 1, max: 28 }), litres: fc.integer({ min: 0, max: 50_000 }) }),
    )
    fc.assert(
      fc.property(draws, (list) => {
        const use = permitUse({
          limitM3: 500,
          warnPart: 0.8,
          startsOn: '02-01',
          today: '2026-02-28',
          draws: list.map(({ day, litres }) => ({
            drawnOn: `2026-02-${String(day).padStart(2, '0')}`,
            volumeM3: litres / 1000,
          })),
        })
        // Volumes are whole litres, so that what is drawn is known to the litre.
        const drawn = list.reduce((total, { litres }) => total + litres, 0)
        expect(use.drawnM3).toBeCloseTo(drawn / 1000, 9)
        expect(use.state).toBe(drawn >= 500_000 ? 'reached' : drawn >= 400_000 ? 'near' : 'within')
        if (use.reachedOn && use.state !== 'reached') expect(use.reachedOn > '2026-02-28').toBe(true)
      }),
    )
  })
})

it('gauges no more than the float’s own speed allows, whatever the soundings', () => {
  const depths = fc.array(fc.double({ min: 0.01, max: 1, noNaN: true }), { minLength: 2, maxLength: 12 })
  fc.assert(
    fc.property(depths, (list) => {
      const points = list.map((depthM, at) => ({ offsetM: at * 0.5, depthM }))
      const flow = floatFlow({ lengthM: 10, seconds: [20, 22], points })!
      expect(flow.areaM2).toBeLessThanOrEqual(Math.max(...list) * 0.5 * (list.length - 1) + 1e-9)
      expect(flow.flowM3PerH.likely).toBeCloseTo(flow.areaM2 * (10 / 21) * 0.75 * 3600, 6)
      expect(flow.flowM3PerH.low).toBeLessThan(flow.flowM3PerH.likely)
    }),
  )
})

it('draws every point of the chart inside its frame, and more water higher', () => {
  const values = fc.array(
    fc.integer({ min: 0, max: 5_000_000 }).map((litres) => litres / 1000),
    { minLength: 2, maxLength: 60 },
  )
  fc.assert(
    fc.property(values, (valuesM3) => {
      const dates = valuesM3.map((_, day) => new Date(Date.UTC(2026, 5, 1 + day)).toISOString().slice(0, 10))
      const { lines, plot, steps } = outlookChart({ dates, lines: [{ name: 'one', valuesM3 }] })
      const points = lines[0]!.points.split(' ').map((point) => point.split(',').map(Number) as [number, number])
      for (const [x, y] of points) {
        expect(x >= plot.left && x <= plot.right && y >= plot.top - 0.1 && y <= plot.bottom + 0.1).toBe(true)
      }
      valuesM3.forEach((m3, at) => {
        if (at > 0 && m3 >= valuesM3[at - 1]!) expect(points[at]![1]).toBeLessThanOrEqual(points[at - 1]![1])
      })
      expect(steps.length).toBeLessThanOrEqual(6)
    }),
  )
})
