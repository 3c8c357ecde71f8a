import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import type { BalanceWeir } from '../../../domain/water/balance/input.ts'
import { balanceOf, draw, gapM3, holding, weirOf } from './book.ts'

describe('weirs on one stream', () => {
  const input = (order: (weirs: BalanceWeir[]) => BalanceWeir[]) => ({
    weirs: order([
      weirOf('upper', [holding('2025-06-05', 300), holding('2025-06-12', 280)], {
        feedsWeirId: 'lower',
        loss: { dailyM3: 2 },
        leakShare: 0.5,
      }),
      weirOf('lower', [holding('2025-06-05', 200), holding('2025-06-12', 197)]),
    ]),
    spills: [{ weirId: 'upper', spilledOn: '2025-06-06', volumeM3: 6 }],
  })

  it.each([
    ['downstream', (weirs: BalanceWeir[]) => weirs] as const,
    ['upstream', (weirs: BalanceWeir[]) => [...weirs].reverse()] as const,
  ])('hand spill and the chosen leak to the weir below, and cancel in the total (listed %s)', (_, order) => {
    const { weirs, spills } = input(order)
    const balance = balanceOf(weirs, { spills })
    const upper = balance.stretches.find((row) => row.weirId === 'upper')!
    const lower = balance.stretches.find((row) => row.weirId === 'lower')!
    expect(upper).toMatchObject({ lossM3: 14, leakToBelowM3: 7, spilledM3: 6 })
    expect(upper.unexplainedM3).toBeCloseTo(20 - 14 - 6, 4)
    expect(lower).toMatchObject({ leakFromAboveM3: 7, spillFromAboveM3: 6 })
    expect(lower.unexplainedM3).toBeCloseTo(3 + 13 - 7, 4)
    expect(balance.group).toMatchObject({ lossM3: 14, spilledM3: 0, fedFromAboveM3: 0 })
    expect(gapM3(balance.group)).toBeCloseTo(0, 6)
  })

  it('share a leak between the stretches of the weir below by days', () => {
    const upper = weirOf('upper', [holding('2025-06-01', 300), holding('2025-06-11', 280)], {
      feedsWeirId: 'lower',
      loss: { dailyM3: 2 },
      leakShare: 1,
    })
    const lower = weirOf('lower', [holding('2025-06-05', 200), holding('2025-06-08', 199), holding('2025-06-20', 190)])
    const { stretches } = balanceOf([upper, lower])
    expect(stretches.filter((row) => row.weirId === 'lower').map((row) => row.leakFromAboveM3)).toEqual([6, 6])
  })
})

it('closes for any book: every change of storage stands under one name', () => {
  const reading = fc.record({
    gapDays: fc.integer({ min: 1, max: 20 }),
    storageM3: fc.double({ min: 0, max: 740, noNaN: true }),
    flowNoted: fc.boolean(),
    above: fc.boolean(),
  })
  const book = fc.record({
    readings: fc.array(reading, { minLength: 1, maxLength: 8 }),
    lossM3: fc.double({ min: -2, max: 4, noNaN: true }),
    leakShare: fc.double({ min: 0, max: 1, noNaN: true }),
    draws: fc.array(fc.tuple(fc.integer({ min: 0, max: 100 }), fc.double({ min: 0, max: 60, noNaN: true })), {
      maxLength: 10,
    }),
    rains: fc.array(fc.tuple(fc.integer({ min: 0, max: 100 }), fc.double({ min: 0, max: 60, noNaN: true })), {
      maxLength: 5,
    }),
  })
  fc.assert(
    fc.property(fc.array(book, { minLength: 1, maxLength: 3 }), (books) => {
      const weirs = books.map(({ readings, lossM3, leakShare }, i) => {
        let day = 0
        const rows = readings.map(({ gapDays, storageM3, flowNoted, above }) => {
          day += gapDays
          const row = holding(addDays('2025-05-01', day), storageM3, { flowNoted })
          return above ? { ...row, waterLevelM: 100.2 } : row
        })
        return weirOf(`w${i}`, rows, {
          feedsWeirId: i + 1 < books.length ? `w${i + 1}` : null,
          loss: { dailyM3: lossM3 },
          leakShare,
        })
      })
      const at = (day: number) => addDays('2025-05-01', day)
      const balance = balanceOf(weirs, {
        abstractions: books.flatMap(({ draws }, i) => draws.map(([day, m3]) => draw(`w${i}`, at(day), m3))),
        spills: books.flatMap(({ draws }, i) =>
          draws.map(([day, m3]) => ({ weirId: `w${i}`, spilledOn: at(day + 1), volumeM3: m3 / 4 })),
        ),
        rain: books.flatMap(({ rains }) => rains.map(([day, rainMm]) => ({ fellOn: at(day), rainMm }))),
      })
      for (const totals of [...balance.weirs, balance.group]) expect(Math.abs(gapM3(totals))).toBeLessThan(1e-6)
      for (const row of balance.stretches)
        expect(
          [row.rechargeM3, row.unexplainedM3, row.notReckonedM3].filter((m3) => m3 !== 0).length,
        ).toBeLessThanOrEqual(1)
    }),
  )
})
