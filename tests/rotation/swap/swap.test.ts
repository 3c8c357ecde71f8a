import { describe, expect, it } from 'vitest'
import { giveTurn, swapTurns } from '../../../domain/rotation/swap.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { ruleWeek } from '../rule/week.ts'

// By hand: one pump of 10 m3 an hour from 07:00 to 17:00, one outlet of 10 m3 an hour for all plots.
const inputs = ruleWeek({ plots: { a: { needM3: 30 }, b: { needM3: 30 }, c: { needM3: 30 } } })
const outletId = inputs.plots[0]!.outletIds[0]!
const [monday, tuesday] = inputs.days as [string, string]

function turn(plotId: string, on: string, startHour: number, hours: number): PlannedTurn {
  const id = `${plotId}/${outletId}/${on}`
  const [startMinute, endMinute] = [startHour * 60, (startHour + hours) * 60]
  const place = { id, claimId: plotId, plotId, outletId, pumpId: inputs.pumps[0]!.id, on, order: 0 }
  return { ...place, startMinute, endMinute, volumeM3: hours * 10, hours, burdens: [] }
}

describe('a swap', () => {
  it('changes day and start, and each keeps its own volume', () => {
    const [first, second] = [turn('a', monday, 8, 1), turn('b', tuesday, 12, 2)]
    expect(swapTurns({ inputs, turns: [first, second], first, second })).toMatchObject({
      first: { plotId: 'a', on: tuesday, startMinute: 720, endMinute: 780, volumeM3: 10 },
      second: { plotId: 'b', on: monday, startMinute: 480, endMinute: 600, volumeM3: 20 },
    })
  })

  it('is refused where the longer turn would run into a third one, or past the sun', () => {
    const [first, second] = [turn('a', monday, 8, 1), turn('b', tuesday, 12, 2)]
    const third = turn('c', monday, 9, 1)
    const into = swapTurns({ inputs, turns: [first, second, third], first, second })
    expect(into).toEqual({ refusal: 'beyond-flow' })
    const late = turn('a', monday, 16, 1)
    expect(swapTurns({ inputs, turns: [late, second], first: late, second })).toEqual({ refusal: 'beyond-flow' })
  })

  it('is refused where a plot would have two turns at one outlet on a day', () => {
    const [first, second, own] = [turn('a', monday, 8, 1), turn('b', tuesday, 12, 1), turn('a', tuesday, 15, 1)]
    const refused = swapTurns({ inputs, turns: [first, second, own], first, second })
    expect(refused).toEqual({ refusal: 'turn-there-already' })
  })
})

describe('a gift', () => {
  it('goes to the other plot at the same hour with the same volume', () => {
    const given = turn('a', monday, 8, 2)
    expect(giveTurn({ inputs, turns: [given], turn: given, toPlotId: 'c' })).toMatchObject({
      turn: { plotId: 'c', on: monday, startMinute: 480, endMinute: 600, volumeM3: 20 },
    })
  })

  it('needs an outlet at the same pump', () => {
    const given = turn('a', monday, 8, 2)
    const apart = {
      ...inputs,
      plots: inputs.plots.map((plot) => (plot.id === 'c' ? { ...plot, outletIds: [] } : plot)),
    }
    const refused = giveTurn({ inputs: apart, turns: [given], turn: given, toPlotId: 'c' })
    expect(refused).toEqual({ refusal: 'no-outlet-there' })
  })

  it('is refused where a slower outlet would run into the next turn on the one line, though the pump gives enough for both', () => {
    const [given, next] = [turn('a', monday, 8, 1), turn('b', monday, 9, 1)]
    const slow = { ...inputs.outlets[0]!, id: 'slow', number: 2, name: 'slow', flowM3PerH: 5 }
    const strong = {
      ...inputs,
      outlets: [...inputs.outlets, slow],
      plots: inputs.plots.map((plot) => (plot.id === 'c' ? { ...plot, outletIds: [slow.id] } : plot)),
      pumps: inputs.pumps.map((pump) => ({
        ...pump,
        flowM3PerHByDay: { ...pump.flowM3PerHByDay, [monday]: Array<number>(24).fill(20) },
      })),
    }
    // 10 m3 at 5 m3 an hour are two hours, from eight to ten.
    const to = (turns: PlannedTurn[]) => giveTurn({ inputs: strong, turns, turn: given, toPlotId: 'c' })
    expect(to([given])).toMatchObject({ turn: { startMinute: 480, endMinute: 600 } })
    expect(to([given, next])).toEqual({ refusal: 'beyond-flow' })
  })
})
