import fc from 'fast-check'
import { expect, it } from 'vitest'
import { pumpBalance } from '../../../domain/abstractions/balance/pump-balance.ts'
import { pumpedOver, tankRises } from '../../../domain/abstractions/balance/pump-days.ts'
import { addDays } from '../../../domain/calendar.ts'
import type { DawnOrDusk } from '../../../domain/works/readings.ts'

const day = (at: number) => addDays('2031-06-25', at)
const dawn = (at: number, reading: number): DawnOrDusk => ({ on: day(at), moment: 'dawn', reading })
const dusk = (at: number, reading: number): DawnOrDusk => ({ on: day(at), moment: 'dusk', reading })
const pumped = (readings: DawnOrDusk[], more: Partial<Parameters<typeof pumpedOver>[0]> = {}) =>
  pumpedOver({ readings, meterDigits: 4, readingStepM3: 1, ...more })
const spans = (found: ReturnType<typeof pumpedOver>) =>
  found.map(({ on, untilOn, toDusk, volumeM3 }) => [on, untilOn, toDusk, volumeM3])

it('what passed a meter is told dawn to dawn, else to dusk, else to the dawn at which it was read again within a week', () => {
  const moments = fc.array(
    fc.record({ dawn: fc.boolean(), dusk: fc.boolean(), m3: fc.nat(20), atNightM3: fc.nat(9) }),
    {
      minLength: 1,
      maxLength: 20,
    },
  )
  fc.assert(
    fc.property(moments, (days) => {
      let counter = 100
      const atDawn: number[] = []
      const atDusk: number[] = []
      for (const { m3, atNightM3 } of days) {
        atDawn.push(counter)
        atDusk.push(counter + m3)
        counter += m3 + atNightM3
      }
      const readings = days.flatMap((one, at) => [
        ...(one.dusk ? [dusk(at, atDusk[at]!)] : []),
        ...(one.dawn ? [dawn(at, atDawn[at]!)] : []),
      ])
      const expected: unknown[] = []
      days.forEach((one, at) => {
        const next = days.findIndex((later, place) => place > at && later.dawn)
        if (!one.dawn) return
        if (one.dusk && next !== at + 1) expected.push([day(at), day(at + 1), true, atDusk[at]! - atDawn[at]!])
        else if (next > at && next - at < 8) expected.push([day(at), day(next), false, atDawn[next]! - atDawn[at]!])
      })
      expect(spans(pumped(readings.toReversed()))).toEqual(expected)
    }),
  )
})

it('a day on which the meter ran back is left out, and one on which it stood still is not', () => {
  expect(spans(pumped([dawn(0, 50), dawn(1, 40), dawn(2, 40)]))).toEqual([[day(1), day(2), false, 0]])
})

it('a new meter counts from its day on by its own digits, and two new ones in one stretch leave it out', () => {
  const [three, five] = [
    { on: day(1), oldLastM3: 4, newFirstM3: 990, newDigits: 3 },
    { on: day(3), oldLastM3: 20, newFirstM3: 99_990, newDigits: 5 },
  ]
  // Old meter: 9990 to 9998, to 4 of 10 000 (6) and the new one 990 to 995 (5); then 995 to 8 of 1000 (13), on to 20 (12)
  // and the third 99 990 to 99 995 (5), to 7 of 100 000 (12).
  const readings = [9990, 9998, 995, 8, 99_995, 7].map((reading, at) => dawn(at, reading))
  const volumes = (exchanges: (typeof three)[]) =>
    pumped(readings, { exchanges }).map(({ on, volumeM3 }) => [on, volumeM3])
  expect(volumes([five, three])).toEqual([8, 11, 13, 17, 12].map((m3, at) => [day(at), m3]))
  // A third one on the day of another: that day is left out, and the last of them counts from the next day on.
  const again = { ...three, newFirstM3: 0, newDigits: 3 }
  expect(volumes([three, again, five]).map(([on]) => on)).toEqual([0, 2, 3, 4].map(day))
  // Not read from the first day to the fifth, both meters are new within one stretch.
  expect(pumped([readings[0]!, readings[4]!], { exchanges: [three, five] })).toEqual([])
  // The new meter itself begins again on its first day: 6, and 998 to 3.
  expect(pumped([dawn(1, 9998), dawn(2, 3)], { exchanges: [{ ...three, newFirstM3: 998 }] })[0]!.volumeM3).toBe(11)
})

const tank = { areaM2: 5, heightM: 2, tankId: 't' }
const stretch = (at: number, until = at + 1, toDusk = false) => ({ on: day(at), untilOn: day(until), toDusk })

it('a tank rises by its area times what the stick shows from end to end, in doubt by its area and each reading', () => {
  const readings = [dawn(0, 0.5), dusk(0, 1.9), dawn(1, 0.8), dawn(3, 0.7)]
  const { rises, unread } = tankRises({
    ...tank,
    readings,
    stretches: [stretch(0), stretch(1, 3), stretch(0, 1, true)],
  })
  expect(rises.map(({ on, volumeM3 }) => [on, volumeM3])).toEqual([
    [day(0), 1.5],
    [day(1), -0.5],
    [day(0), 7],
  ])
  expect(unread).toBe(0)
  // Three hundredths of the volume, and a centimetre on 5 m2 at either end.
  expect(rises[0]!.uncertaintyM3).toBeCloseTo(Math.sqrt(0.045 ** 2 + 0.05 ** 2 + 0.05 ** 2), 12)
})

it('an end that nobody read is half full, give or take half, and its doubt falls out where both sides of it are summed', () => {
  const of = (stretches: ReturnType<typeof stretch>[], readings = [dawn(0, 0.4), dawn(2, 1.5)]) => {
    const { rises, unread } = tankRises({ ...tank, readings, stretches })
    const lines = rises.map((rise) => ({ ...rise, kind: 'tank-rise' as const }))
    const { recordedM3, toleranceM3 } = pumpBalance({ lines })
    return [recordedM3['tank-rise'], toleranceM3, unread]
  }
  // 10 m3 when full: from 2 m3 to 5 give or take 5, from 5 to 7.5, and from 2 to 7.5 over both.
  expect(of([stretch(0)])).toEqual([3, 5, 1])
  expect(of([stretch(1)])).toEqual([2.5, 5, 1])
  expect(of([stretch(0), stretch(1)])).toEqual([5.5, 0, 2])
  expect(of([stretch(0, 1, true)])).toEqual([3, 5, 1])
  // Dusk and the next dawn are two ends: nothing falls out.
  expect(of([stretch(0, 1, true), stretch(1)])).toEqual([5.5, Math.hypot(5, 5), 2])
  expect(of([stretch(4)])).toEqual([0, Math.hypot(5, 5), 1])
})
