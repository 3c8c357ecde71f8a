import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type PumpLine, pumpBalance } from '../../../domain/abstractions/balance/pump-balance.ts'
import { meterNightTest, nightTest } from '../../../domain/abstractions/night-test.ts'
import { receivedByPlot } from '../../../domain/rotation/fairness/received.ts'
import { combinedErrorM3 } from '../../../domain/works/tool-errors.ts'

const line = (kind: PumpLine['kind'], volumeM3: number, uncertaintyM3: number, on = '2031-07-03'): PumpLine => ({
  on,
  kind,
  volumeM3,
  uncertaintyM3,
})

describe('the balance of a pump', () => {
  it('names the 12 m3 that nobody logged, and the day they are missing from', () => {
    const balance = pumpBalance({
      lines: [
        line('pumped', 60, 0.5, '2031-07-01'),
        line('outlets', 55, 0.5, '2031-07-01'),
        line('stand', 3, 0.1, '2031-07-01'),
        line('tank-rise', 2, 0.1, '2031-07-01'),
        line('pumped', 62, 0.5, '2031-07-02'),
        line('outlets', 47, 0.5, '2031-07-02'),
        line('trough', 2, 0.1, '2031-07-02'),
        line('flushing', 1, 0.1, '2031-07-02'),
      ],
    })
    expect(balance).toMatchObject({ pumpedM3: 122, unexplainedM3: 12, verdict: 'look-at-these-days' })
    expect(balance.recordedM3).toEqual({ outlets: 102, stand: 3, trough: 2, flushing: 1, 'tank-rise': 2 })
    expect(balance.daysToLookAt.map(({ on, unexplainedM3 }) => [on, unexplainedM3])).toEqual([['2031-07-02', 12]])
  })

  it('of a gap of 4.6 % raises no alarm where each tool may be off by 5 %, of 19.6 % it does', () => {
    const gap = (outletsM3: number) =>
      pumpBalance({ lines: [line('pumped', 1000, 50), line('outlets', outletsM3, outletsM3 * 0.05)] })
    expect(gap(954)).toMatchObject({ verdict: 'nothing-the-tools-can-show', daysToLookAt: [] })
    expect(gap(804)).toMatchObject({ verdict: 'look-at-these-days', unexplainedM3: 196 })
  })

  it('lists every day that leans the same way when no day alone is beyond its tools', () => {
    const day = (on: string, outletsM3: number) => [line('pumped', 20, 1.5, on), line('outlets', outletsM3, 1.5, on)]
    const { verdict, daysToLookAt } = pumpBalance({
      lines: [...day('2031-07-01', 18), ...day('2031-07-02', 18), ...day('2031-07-03', 20.5), ...day('2031-07-04', 16)],
    })
    // A day's tolerance is sqrt(2 x 1.5^2) = 2.12 m3, that of all four 4.24 m3; 7.5 m3 are missing.
    expect(verdict).toBe('look-at-these-days')
    expect(daysToLookAt.map(({ on }) => on)).toEqual(['2031-07-04'])
    const quiet = pumpBalance({
      lines: [
        ...day('2031-07-01', 18),
        ...day('2031-07-02', 18),
        ...day('2031-07-03', 20.5),
        ...day('2031-07-04', 18.1),
      ],
    })
    expect(quiet.verdict).toBe('look-at-these-days')
    expect(quiet.daysToLookAt.map(({ on }) => on)).toEqual(['2031-07-01', '2031-07-02', '2031-07-04'])
  })

  it('says nothing of a difference as large as what the tools may hide, and of one a litre larger it does', () => {
    const missing = (missingM3: number) => {
      const lines = [line('pumped', 20, 3), line('outlets', 20 - missingM3, 4)]
      const { verdict, daysToLookAt } = pumpBalance({ lines })
      return [verdict, daysToLookAt.length]
    }
    expect([missing(0), missing(5), missing(-5)]).toEqual(Array(3).fill(['nothing-the-tools-can-show', 0]))
    expect([missing(5.001), missing(-5.001)]).toEqual([
      ['look-at-these-days', 1],
      ['more-recorded-than-pumped', 1],
    ])
  })

  it('lists the days beyond their own tools alone, largest first and then by date, whichever way all lean', () => {
    const sizes = [5, 7, 5.5, 4, 0, 7, -6] // each day's tools hide 5
    for (const way of [1, -1]) {
      const lines = sizes.flatMap((size, at) => {
        const on = `2031-07-0${7 - at}`
        return [line('pumped', 20, 3, on), line('outlets', 20 - way * size, 4, on)]
      })
      const { daysToLookAt } = pumpBalance({ lines })
      expect(daysToLookAt.map(({ on, unexplainedM3 }) => [on.slice(8), way * unexplainedM3])).toEqual([
        ['02', 7],
        ['06', 7],
        ['05', 5.5],
      ])
    }
    const quiet = [5, 0, 4, -1, 5].flatMap((size, at) => {
      const on = `2031-07-0${at + 1}`
      return [line('pumped', 20, 3, on), line('outlets', 20 - size, 4, on)]
    })
    expect(pumpBalance({ lines: quiet }).daysToLookAt.map(({ on }) => on.slice(8))).toEqual(['01', '05', '03'])
    const stored = [line('outlets', 3, 0, '2031-07-01'), line('tank-rise', -3, 0, '2031-07-02')]
    expect(pumpBalance({ lines: stored })).toMatchObject({ unexplainedM3: 0, daysToLookAt: [] })
  })

  it('that records more than was pumped asks for meters and dates', () => {
    const { verdict, unexplainedM3 } = pumpBalance({ lines: [line('pumped', 100, 1), line('outlets', 110, 1)] })
    expect([verdict, unexplainedM3]).toEqual(['more-recorded-than-pumped', -10])
  })

  it('without a reading of the pump says that it cannot say', () => {
    expect(pumpBalance({ lines: [line('outlets', 110, 1)] })).toMatchObject({
      verdict: 'cannot-say-nothing-pumped',
      unexplainedFraction: null,
    })
  })

  it('adds the errors of one tool and combines those of different tools by squares', () => {
    const turns = [0, 1, 2, 3].map(() => line('outlets', 10, 0.5))
    const apart = pumpBalance({ lines: [line('pumped', 40, 0), ...turns] })
    const together = pumpBalance({ lines: [line('pumped', 40, 0), ...turns.map((t) => ({ ...t, toolId: 'm2' }))] })
    expect(apart.toleranceM3).toBeCloseTo(1, 12)
    expect(together.toleranceM3).toBeCloseTo(2, 12)
    const sameMeter = { toolId: 'm1' }
    const oneMeter = pumpBalance({
      lines: [
        { ...line('pumped', 40, 2), ...sameMeter },
        { ...line('outlets', 40, 2), ...sameMeter },
      ],
    })
    expect(oneMeter.toleranceM3).toBe(0)
    // Of one meter the error of its scale cancels, the last digit of each reading does not.
    const dawns = [0, 1, 2, 3].map(() => ({ ...line('pumped', 10, 0.5), ...sameMeter, readingErrorM3: 0.07 }))
    const read = pumpBalance({ lines: [...dawns, { ...line('outlets', 40, 2), ...sameMeter }] })
    expect(read.toleranceM3).toBeCloseTo(0.14, 12)
  })

  it('gives an unlogged volume back to the litre, whatever else was logged', () => {
    const litres = fc.integer({ min: 0, max: 50_000 })
    const kind = fc.constantFrom<PumpLine['kind']>('outlets', 'stand', 'trough', 'flushing', 'tank-rise')
    const logged = fc.array(fc.record({ kind, litres, day: fc.integer({ min: 1, max: 28 }) }), { maxLength: 40 })
    fc.assert(
      fc.property(logged, fc.integer({ min: 1, max: 20_000 }), (turns, unloggedLitres) => {
        const on = (day: number) => `2031-07-${String(day).padStart(2, '0')}`
        const uses = turns.map((turn) => line(turn.kind, turn.litres / 1000, 0, on(turn.day)))
        const pumped = uses.map((use) => line('pumped', use.volumeM3, 0, use.on))
        const balance = pumpBalance({ lines: [...uses, ...pumped, line('pumped', unloggedLitres / 1000, 0, on(9))] })
        expect(balance.unexplainedM3).toBe(unloggedLitres / 1000)
        expect(balance.daysToLookAt.map((day) => day.on)).toEqual([on(9)])
      }),
    )
  })
})

describe('tests at night and sums by plot', () => {
  it('find 0.4 m3 lost from a tank of 2 by 2 m that fell 10 cm, and the line that lost it', () => {
    const { losses, totalLostM3 } = nightTest({
      areaM2: 4,
      readings: [
        { lineId: null, startLevelM: 1.5, endLevelM: 1.49, hours: 10 },
        { lineId: 'east', startLevelM: 1.5, endLevelM: 1.4, hours: 10 },
      ],
    })
    expect(losses.map(({ lostM3, shows }) => [lostM3, shows])).toEqual([
      [0.04, false],
      [0.4, true],
    ])
    expect(losses[1]!.lossM3PerH).toBeCloseTo(0.04, 12)
    expect(totalLostM3).toBe(0.44)
    const still = [{ lineId: null, startLevelM: 1, endLevelM: 1, hours: 8 }]
    expect(nightTest({ areaM2: 4, readings: still, levelErrorM: 0 }).losses[0]).toMatchObject({
      lostM3: 0,
      shows: false,
    })
    const counted = (endM3: number, readingStepM3: number) =>
      meterNightTest({ readings: [{ lineId: null, startM3: 9999, endM3, hours: 4 }], meterDigits: 4, readingStepM3 })
    expect(counted(9999, 0)!.losses[0]).toMatchObject({ lostM3: 0, shows: false })
    expect(counted(1, 2)!.losses[0]).toMatchObject({ lostM3: 2, lossM3PerH: 0.5, shows: true })
    expect(counted(1, 4)!.losses[0]).toMatchObject({ lostM3: 2, shows: false })
    expect(counted(500, 4)!.totalLostM3).toBe(501)
    expect(counted(9000, 1)).toBeNull()
  })

  it('keep measured and estimated water apart', () => {
    const deliveries = [
      { plotId: 'b', volumeM3: 4, uncertaintyM3: 0.2, grade: 'measured' as const },
      { plotId: 'a', volumeM3: 3.1, uncertaintyM3: 0.9, grade: 'estimated' as const },
      { plotId: 'a', volumeM3: 2.2, uncertaintyM3: 0.1, grade: 'measured' as const },
    ]
    expect(receivedByPlot({ deliveries })).toEqual([
      { plotId: 'a', volumeM3: 5.3, measuredM3: 2.2, estimatedM3: 3.1, uncertaintyM3: 1 },
      { plotId: 'b', volumeM3: 4, measuredM3: 4, estimatedM3: 0, uncertaintyM3: 0.2 },
    ])
  })

  it('combine errors of 3 and 4 to 5', () => {
    expect(combinedErrorM3({ errorsM3: [3, 4] })).toBe(5)
    expect(combinedErrorM3({ errorsM3: [] })).toBe(0)
  })
})
