import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { proposeDroughtStage } from '../../../domain/water/drought/stage.ts'
import { type CoverWeir, daysOfCover } from '../../../domain/water/path/cover.ts'
import { stepDay, storageModel } from '../../../domain/water/path/store.ts'
import { wedgeSandBody } from '../../../domain/water/sand/body.ts'
import { runs } from '../../support/runs.ts'

const body = wedgeSandBody({
  crestHeightM: 2,
  crestWidthM: 15,
  bedSlope: 0.01,
  valleyShape: 'parabola',
  crestLevelM: 100,
  specificYield: specificYieldOf('medium-sand'),
})
const weirOf = (more: Partial<CoverWeir> = {}): CoverWeir => ({
  weirId: 'upper',
  feedsWeirId: null,
  body,
  offTakeLevelM: 98.3,
  waterLevelM: 99.8,
  levelErrorCm: 2,
  loss: { fallCmPerDay: 0.3, measuredAtLevelM: 99.8 },
  rise: 1,
  extraWeeks: 0,
  leakShare: 0,
  dailyDrinkingM3: 1,
  weeklyIrrigationM3: 21,
  ...more,
})
const coverOf = (...weirs: CoverWeir[]) => daysOfCover({ weirs, today: '2025-07-01', lateRainOn: '2025-09-15' })

describe('days of cover', () => {
  it('come cautious before middle before hopeful, and longest when irrigation stops', () => {
    const { cautious, middle, hopeful, ifIrrigationStops } = coverOf(weirOf())[0]!
    expect(cautious.daysToDrinkingLine!).toBeLessThan(middle.daysToDrinkingLine!)
    expect(middle.daysToDrinkingLine!).toBeLessThan(hopeful.daysToDrinkingLine!)
    expect(ifIrrigationStops.daysToEmpty!).toBeGreaterThan(middle.daysToEmpty!)
  })

  it('fall by more than half when the depth of water halves', () => {
    const noKeep = (waterLevelM: number) =>
      daysOfCover({
        weirs: [weirOf({ waterLevelM, offTakeLevelM: 98 })],
        today: '2025-07-01',
        lateRainOn: '2025-07-01',
      })[0]!.middle
    expect(noKeep(99).daysToEmpty!).toBeLessThan(0.5 * noKeep(100).daysToEmpty!)
  })

  it('are none when the drinking line is already passed', () => {
    const { middle } = coverOf(weirOf({ waterLevelM: 98.6 }))[0]!
    expect(middle).toMatchObject({ drinkingLineOn: '2025-07-01', daysToDrinkingLine: 0 })
  })

  it('rise below a weir whose leak is sent down, whichever is listed first', () => {
    const lower = weirOf({ weirId: 'lower', waterLevelM: 99.7 })
    const dry = coverOf(weirOf({ feedsWeirId: 'lower' }), lower)[1]!
    const fed = coverOf(lower, weirOf({ feedsWeirId: 'lower', leakShare: 1 }))[0]!
    expect(fed.middle.daysToDrinkingLine!).toBeGreaterThan(dry.middle.daysToDrinkingLine!)
  })

  it('refuse weirs that feed each other in a ring', () => {
    expect(() => coverOf(weirOf({ feedsWeirId: 'lower' }), weirOf({ weirId: 'lower', feedsWeirId: 'upper' }))).toThrow(
      RangeError,
    )
  })
})

it('makes no water in any day, and holds no more than the sand can', () => {
  const amount = fc.double({ min: 0, max: 300, noNaN: true })
  const cm = fc.double({ min: -1, max: 3, noNaN: true })
  fc.assert(
    fc.property(
      amount,
      amount,
      amount,
      amount,
      cm,
      fc.double({ min: 0, max: 1, noNaN: true }),
      (rain, fed, drink, draw, fallCmPerDay, share) => {
        const model = storageModel({ body, offTakeLevelM: 98.3, loss: { fallCmPerDay, measuredAtLevelM: 99.8 } })
        const openingM3 = share * model.capacityM3
        const day = stepDay(model, openingM3, {
          rechargeM3: rain,
          fedFromAboveM3: fed,
          drinkingM3: drink,
          irrigationM3: draw,
          leakShare: share,
        })
        const outM3 = day.lossM3 + day.spilledM3 + day.drinkingM3 + day.irrigationM3
        expect(day.storageM3).toBeCloseTo(openingM3 + rain + fed - outM3, 6)
        expect(day.storageM3).toBeGreaterThanOrEqual(-1e-9)
        expect(day.storageM3).toBeLessThanOrEqual(model.capacityM3 + 1e-9)
        const wetter = stepDay(model, openingM3, {
          rechargeM3: rain + 5,
          fedFromAboveM3: fed,
          drinkingM3: drink,
          irrigationM3: draw,
          leakShare: share,
        })
        expect(wetter.storageM3).toBeGreaterThanOrEqual(day.storageM3 - 1e-6)
      },
    ),
    runs(60),
  )
})

describe('a drought stage', () => {
  const stages = [
    { stageId: 'careful', severity: 1, trigger: { weirId: 'upper', belowLevelM: 99 } },
    { stageId: 'short', severity: 2, trigger: { weirId: 'upper', belowCoverDays: 20 } },
  ]
  const reading = (readOn: string, waterLevelM: number, coverDays: number | null) => ({
    weirId: 'upper',
    readOn,
    waterLevelM,
    coverDays,
  })

  it('is not proposed on one low reading, only waited for', () => {
    const proposal = proposeDroughtStage({
      stages,
      readings: [reading('2025-07-10', 98.9, 40), reading('2025-07-03', 99.1, 50)],
    })
    expect(proposal).toMatchObject({ proposed: null, waitingFor: { stageId: 'careful' }, readings: [] })
  })

  it('is proposed when two readings in a row have passed its mark', () => {
    const readings = [reading('2025-07-03', 98.9, 40), reading('2025-07-10', 98.8, 19)]
    const proposal = proposeDroughtStage({ stages, readings })
    expect(proposal).toMatchObject({ proposed: { stageId: 'careful' }, waitingFor: { stageId: 'short' }, readings })
    const third = proposeDroughtStage({ stages, readings: [...readings, reading('2025-07-17', 98.7, 15)] })
    expect(third).toMatchObject({ proposed: { stageId: 'short' }, waitingFor: null })
  })

  it('is dropped when the level is back above the mark or nothing can be said', () => {
    const back = [reading('2025-07-03', 98.9, 40), reading('2025-07-10', 98.8, null), reading('2025-07-17', 99.4, null)]
    expect(proposeDroughtStage({ stages, readings: back })).toMatchObject({ proposed: null, waitingFor: null })
    expect(proposeDroughtStage({ stages, readings: [] }).proposed).toBeNull()
  })
})
