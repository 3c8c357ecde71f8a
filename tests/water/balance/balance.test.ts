import { describe, expect, it } from 'vitest'
import type { BalanceInput } from '../../../domain/water/balance/input.ts'
import { type SandBody, wedgeSandBody } from '../../../domain/water/sand/body.ts'
import { balanceOf, body, draw, gapM3, holding, weirOf } from './book.ts'

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
    // The yield is 20 per cent either way of the 59 m3 fall and the shape, by tape alone, half to twice: √(ln² 2 + ln² 1.2) =
    // 0.71671 and √(ln² 2 + ln² 0.8) = 0.72818, so 2.04767 and 0.48279 times; the meter 5 per cent of 40 m3.
    expect(toleranceParts.yieldHighM3).toBeCloseTo(1.04767 * 59, 2)
    expect(toleranceParts.yieldLowM3).toBeCloseTo(-0.51721 * 59, 2)
    expect(toleranceParts.meterM3).toBeCloseTo(2, 9)
    // S = 187.5 y^2, so 2 cm at a height y is about 187.5 x 2 y x 0.02 m3.
    const [y1, y2] = [Math.sqrt(300 / 187.5), Math.sqrt(241 / 187.5)]
    expect(toleranceParts.levelM3).toBeCloseTo(Math.hypot(7.5 * y1, 7.5 * y2), 3)
    // More left than the log says, which less sand would explain.
    expect(toleranceM3).toBeCloseTo(Math.hypot(30.515, toleranceParts.levelM3, 2), 2)
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

it('leaves out readings from before the sand was described', () => {
  const bodies: { fromOn: string; body: SandBody }[] = [{ fromOn: '2025-06-01', body }]
  const readings = [holding('2025-05-01', 400), holding('2025-06-05', 300), holding('2025-06-12', 293)]
  expect(balanceOf([weirOf('upper', readings, { bodies })]).stretches).toHaveLength(1)
  expect(balanceOf([weirOf('upper', readings, { bodies: [] })]).group).toMatchObject({ openingM3: 0, closingM3: 0 })
})
