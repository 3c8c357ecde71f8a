import { describe, expect, it } from 'vitest'
import { holderOverlaps } from '../../../domain/rotation/draft/holder-overlaps.ts'
import { planWeek, type WeekInputs } from '../../../domain/rotation/draft/plan.ts'
import { checkChangedWeek, withManualChanges } from '../../../domain/rotation/manual-change/week.ts'
import type { ManualChange } from '../../../domain/rotation/week/manual-change.ts'
import type { TurnFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

const NO_FACTS: TurnFacts = {
  pumps: [],
  noTurnHours: [],
  linePositions: {},
  notTogether: [],
  fillingMinutes: {},
  burdens: {},
  officerPlotIds: [],
  changes: [],
}

/** A week with one turn of plot a made longer or shorter by the committee. */
function changed(inputs: WeekInputs, plotId: string, volumeM3: number) {
  const turn = planWeek(inputs).turns.find((one) => one.plotId === plotId)!
  const change: ManualChange = {
    id: 'change',
    kind: 'lengthen',
    plotId,
    outletId: turn.outletId,
    wasOn: turn.on,
    on: turn.on,
    startMinute: turn.startMinute,
    volumeM3,
    reason: 'seedlings',
    byName: 'Amaru',
    byId: 'amaru',
    at: '2026-06-01T00:00:00Z',
    approvedByName: 'Besi',
  }
  const handed = { ...inputs, turnFacts: { ...NO_FACTS, changes: [change] } }
  const week = withManualChanges(handed, planWeek(handed))
  return { codes: week.hand!.warnings.map(({ code }) => code), week, inputs: handed }
}

describe('what the rule promises, after the committee’s hand', () => {
  it('is named where a turn takes from the spare part, and the week may still be published', () => {
    // By hand: 30 m3 released, a tenth left unbooked: 27 for two plots that need 20 each, 13.5 each. One gets 15: 1.5 too many.
    const inputs = ruleWeek({ rule: { sparePart: 0.1 }, plots: { a: { needM3: 20 }, b: { needM3: 20 } } })
    const { codes, week, inputs: handed } = changed(inputs, 'a', 15)
    expect(codes).toContain('spare-booked')
    expect(checkChangedWeek(handed, week)).toEqual([])
  })

  it('is named where a plot gets more than it asked for', () => {
    const inputs = ruleWeek({ plots: { a: { needM3: 20, requestedM3: 5 }, b: { needM3: 20 } }, weirs: { weir: 100 } })
    expect(changed(inputs, 'a', 8).codes).toContain('above-cap')
    expect(changed(inputs, 'a', 5).codes).not.toContain('above-cap')
  })

  it('is named where a protected plot is cut while others have water', () => {
    const protectedPlots = [{ plotId: 'school', upToStage: null }]
    const inputs = ruleWeek({ rule: { protectedPlots }, plots: { school: { needM3: 10 }, b: { needM3: 30 } } })
    expect(changed(inputs, 'school', 4).codes).toContain('protected-short')
  })

  it('says nothing where the hand only moves water within the promises', () => {
    const inputs = ruleWeek({ plots: { a: { needM3: 20 }, b: { needM3: 20 } }, weirs: { weir: 100 } })
    expect(changed(inputs, 'a', 18).codes).toEqual([])
  })
})

describe('two turns at once', () => {
  const inputs = ruleWeek({ plots: { a: { needM3: 5 }, b: { needM3: 5 }, c: { needM3: 5 } } })
  const plots = inputs.plots.map((plot) => ({ ...plot, holders: plot.id === 'c' ? ['Cora'] : ['Lumi'] }))
  const turn = (plotId: string, startMinute: number, endMinute: number) => {
    const place = { id: plotId, claimId: plotId, plotId, outletId: `o-${plotId}`, pumpId: 'p', on: WEEK_ON, order: 1 }
    return { ...place, startMinute, endMinute, volumeM3: 1, hours: 1, burdens: [] }
  }

  it('are named where one person holds both', () => {
    const turns = [turn('b', 450, 500), turn('a', 420, 480), turn('c', 420, 480)]
    expect(holderOverlaps({ inputs: { plots }, turns })).toMatchObject([
      { holder: 'Lumi', first: { plotId: 'a' }, second: { plotId: 'b' } },
    ])
  })

  it('are no matter one after the other, or where a second holder can open the other valve', () => {
    expect(holderOverlaps({ inputs: { plots }, turns: [turn('a', 420, 480), turn('b', 480, 500)] })).toEqual([])
    const two = plots.map((plot) => (plot.id === 'b' ? { ...plot, holders: ['Lumi', 'Oban'] } : plot))
    expect(holderOverlaps({ inputs: { plots: two }, turns: [turn('a', 420, 480), turn('b', 450, 500)] })).toEqual([])
  })
})
