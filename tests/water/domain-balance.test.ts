import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import {
  type BalanceInput,
  type BalanceReading,
  type BalanceTotals,
  type BalanceWeir,
  type SandBody,
  waterBalance,
  waterLevelForStorageM,
  wedgeSandBody,
} from '../../domain/water/index.ts'

const body = wedgeSandBody({
  crestHeightM: 2,
  crestWidthM: 15,
  bedSlope: 0.01,
  valleyShape: 'rectangle',
  crestLevelM: 100,
  specificYield: { low: 0.2, likely: 0.25, high: 0.3 },
})
// 3000 m3 of sand, 750 m3 of water when full.

const holding = (readOn: string, storageM3: number, more: Partial<BalanceReading> = {}): BalanceReading => ({
  readOn,
  waterLevelM: waterLevelForStorageM({ body, storageM3 })!,
  levelErrorCm: 2,
  flowNoted: false,
  ...more,
})

const weirOf = (weirId: string, readings: BalanceReading[], more: Partial<BalanceWeir> = {}): BalanceWeir => ({
  weirId,
  feedsWeirId: null,
  bodies: [{ fromOn: '2025-01-01', body }],
  loss: { dailyM3: 1 },
  leakShare: 0,
  readings,
  ...more,
})

const balanceOf = (weirs: BalanceWeir[], more: Partial<BalanceInput> = {}) =>
  waterBalance({ weirs, abstractions: [], spills: [], rain: [], rainMarkMm: 10, ...more })

const draw = (weirId: string, drawnOn: string, volumeM3: number) => ({
  weirId,
  drawnOn,
  volumeM3,
  errorM3: volumeM3 * 0.05,
})

/** What is left when opening and every named flow are set against the closing storage. */
const gapM3 = (t: BalanceTotals) =>
  t.openingM3 +
  t.rechargeM3 +
  t.fedFromAboveM3 +
  t.notReckonedM3 +
  t.surveyChangeM3 -
  t.drawnM3 -
  t.lossM3 -
  t.spilledM3 -
  t.unexplainedM3 -
  t.closingM3

describe('a dry stretch', () => {
  const readings = [holding('2025-06-05', 300), holding('2025-06-12', 241)]

  it('shows 12 m3 that nobody logged as 12 m3 unexplained', () => {
    const { stretches, group } = balanceOf([weirOf('upper', readings)], {
      abstractions: [draw('upper', '2025-06-07', 40)],
    })
    expect(stretches).toHaveLength(1)
    expect(stretches[0]).toMatchObject({ kind: 'dry', days: 7, drawnM3: 40, lossM3: 7, rechargeM3: 0 })
    expect(stretches[0]!.unexplainedM3).toBeCloseTo(12, 4)
    expect(group.unexplainedM3).toBeCloseTo(12, 4)
  })

  it('counts a draw on the day of a reading in the stretch that begins with it', () => {
    const { stretches, weirs } = balanceOf([weirOf('upper', readings)], {
      abstractions: [draw('upper', '2025-06-05', 40), draw('upper', '2025-06-12', 9), draw('lower', '2025-06-07', 5)],
    })
    expect(stretches[0]!.drawnM3).toBe(40)
    expect(weirs[0]!.drawnOutsideM3).toBe(9)
  })

  it('takes from tolerance the range of the yield, both readings and the meter together', () => {
    const { stretches } = balanceOf([weirOf('upper', readings)], { abstractions: [draw('upper', '2025-06-07', 40)] })
    const { toleranceM3, withinTolerance, toleranceParts } = stretches[0]!
    // The yield is 20 per cent either way of the 59 m3 fall; the meter 5 per cent of 40 m3.
    expect(toleranceParts.yieldHighM3).toBeCloseTo(0.2 * 59, 4)
    expect(toleranceParts.yieldLowM3).toBeCloseTo(-0.2 * 59, 4)
    expect(toleranceParts.meterM3).toBeCloseTo(2, 9)
    // S = 187.5 y^2, so 2 cm at a height y is about 187.5 x 2 y x 0.02 m3.
    const [y1, y2] = [Math.sqrt(300 / 187.5), Math.sqrt(241 / 187.5)]
    expect(toleranceParts.levelM3).toBeCloseTo(Math.hypot(7.5 * y1, 7.5 * y2), 3)
    expect(toleranceM3).toBeCloseTo(Math.hypot(11.8, toleranceParts.levelM3, 2), 4)
    expect(withinTolerance).toBe(true)
  })

  it('names water that came back from the banks', () => {
    const { stretches } = balanceOf([weirOf('upper', readings, { loss: { dailyM3: -1 } })])
    expect(stretches[0]!.reasons).toContain('bank-return')
    expect(stretches[0]!.unexplainedM3).toBeCloseTo(59 + 7, 4)
  })

  it('says so when no loss is known or the rain was not written', () => {
    const { stretches } = balanceOf([weirOf('upper', readings, { loss: null })])
    expect(stretches[0]).toMatchObject({ lossM3: 0, reasons: ['loss-unknown', 'rain-not-written'] })
  })

  it('turns a fall in centimetres into water through the curve', () => {
    const { stretches } = balanceOf([weirOf('upper', readings, { loss: { fallCmPerDay: 0.5 } })])
    const meanM = (readings[0]!.waterLevelM + readings[1]!.waterLevelM) / 2 - 98
    expect(stretches[0]!.lossM3).toBeCloseTo(7 * 187.5 * (meanM ** 2 - (meanM - 0.005) ** 2), 6)
  })
})

describe('a wet stretch', () => {
  const rising = [holding('2025-11-06', 200), holding('2025-11-13', 260)]
  const rain = (rainMm: number, fellOn = '2025-11-08') => [{ fellOn, rainMm }]

  it('gives recharge as rise, drawn and loss together', () => {
    const { stretches } = balanceOf([weirOf('upper', rising)], {
      rain: rain(24),
      abstractions: [draw('upper', '2025-11-07', 13)],
    })
    expect(stretches[0]).toMatchObject({ kind: 'wet', unexplainedM3: 0 })
    expect(stretches[0]!.rechargeM3).toBeCloseTo(60 + 13 + 7, 4)
  })

  it('is wet only with flow noted or rain above the mark, in its own days and for its own weir', () => {
    const kindOf = (more: Partial<BalanceInput>, readings = rising) =>
      balanceOf([weirOf('upper', readings)], more).stretches[0]!.kind
    expect(kindOf({ rain: rain(10) })).toBe('dry')
    expect(kindOf({ rain: rain(10.1) })).toBe('wet')
    expect(kindOf({ rain: rain(30, '2025-11-13') })).toBe('dry')
    expect(kindOf({ rain: [{ fellOn: '2025-11-08', rainMm: 30, weirId: 'lower' }] })).toBe('dry')
    expect(kindOf({}, [rising[0]!, { ...rising[1]!, flowNoted: true }])).toBe('wet')
  })

  it('names a negative recharge unexplained', () => {
    const falling = [holding('2025-11-06', 260), holding('2025-11-13', 200)]
    const { stretches } = balanceOf([weirOf('upper', falling)], {
      rain: rain(24),
      abstractions: [draw('upper', '2025-11-07', 13)],
    })
    expect(stretches[0]!.rechargeM3).toBe(0)
    expect(stretches[0]!.unexplainedM3).toBeCloseTo(40, 4)
  })
})

it('does not reckon the days on which water stood above the crest, and names what came and went', () => {
  const readings = [
    holding('2025-04-03', 300),
    { ...holding('2025-04-10', 750), waterLevelM: 100.3 },
    holding('2025-04-17', 700),
  ]
  const { stretches, group } = balanceOf([weirOf('upper', readings)])
  expect(stretches.map((row) => row.kind)).toEqual(['not-reckoned', 'not-reckoned'])
  expect(stretches[0]).toMatchObject({ rechargeM3: 0, unexplainedM3: 0 })
  expect(group.notReckonedM3).toBeCloseTo(400 + 14, 4)
  expect(gapM3(group)).toBeCloseTo(0, 6)
})

it('names the storage that a new survey found instead of calling it recharge', () => {
  const wider = wedgeSandBody({
    crestHeightM: 2,
    crestWidthM: 30,
    bedSlope: 0.01,
    valleyShape: 'rectangle',
    crestLevelM: 100,
    specificYield: { low: 0.2, likely: 0.25, high: 0.3 },
  })
  const readings = [holding('2025-06-05', 300), holding('2025-06-12', 293), holding('2025-06-19', 286)]
  const weir = weirOf('upper', readings, {
    bodies: [
      { fromOn: '2025-01-01', body },
      { fromOn: '2025-06-12', body: wider },
    ],
  })
  const { group, stretches } = balanceOf([weir])
  expect(group.surveyChangeM3).toBeCloseTo(293, 4)
  expect(stretches[1]!.unexplainedM3).toBeCloseTo(7, 4)
  expect(gapM3(group)).toBeCloseTo(0, 6)
})

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

it('leaves out readings from before the sand was described', () => {
  const bodies: { fromOn: string; body: SandBody }[] = [{ fromOn: '2025-06-01', body }]
  const readings = [holding('2025-05-01', 400), holding('2025-06-05', 300), holding('2025-06-12', 293)]
  expect(balanceOf([weirOf('upper', readings, { bodies })]).stretches).toHaveLength(1)
  expect(balanceOf([weirOf('upper', readings, { bodies: [] })]).group).toMatchObject({ openingM3: 0, closingM3: 0 })
})
