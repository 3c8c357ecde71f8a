import { beforeEach, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { findPublishedWeek } from '../../../server/rotation/published/store.ts'
import { bookedTurns } from '../../../server/rotation/published/turn-store.ts'
import { weekLists } from '../../../server/rotation/turn-list/next.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

const draft = async () =>
  (await shownWeek(valley.db, answers.rotation, {
    group: (await currentGroup(valley.db))!,
    weekStartOn: NEXT,
    today: VALLEY_TODAY,
  }))!

/** The pump with most plots in next week's draft, and their numbers in an order that no plan would choose. */
async function listed() {
  const { inputs, results } = await draft()
  const byPump = inputs.pumps.map((pump) => {
    const turns = results.turns.filter((turn) => turn.pumpId === pump.id && turn.claimId === turn.plotId)
    return { pump, plotIds: [...new Set(turns.map((turn) => turn.plotId))] }
  })
  const { pump, plotIds } = byPump.sort((a, b) => b.plotIds.length - a.plotIds.length)[0]!
  const number = (id: string) => inputs.plots.find((plot) => plot.id === id)!.number
  const numbers = plotIds.map(number).sort((a, b) => b - a)
  return { pump, numbers, ids: numbers.map((one) => inputs.plots.find((plot) => plot.number === one)!.id) }
}

describe('a pump whose group goes by list', () => {
  it('has its week laid in the list’s order, pauses it on the named days, and publishes', async () => {
    const { pump, numbers, ids } = await listed()
    const list = { fromOn: VALLEY_TODAY, perDay: '2', plots: numbers.join('\n') }
    const page = await chair.fill(`/turns/settle/list/${pump.id}`, list)
    expect(page.path).toBe(`/turns/lists/${pump.id}`)
    const pause = { cause: 'funeral', fromOn: '2026-12-01', untilOn: '2026-12-02', words: 'old Berro' }
    await chair.fill(`/turns/settle/pause/${pump.id}`, pause)

    const { inputs, results } = await draft()
    const order = inputs.turnFacts!.lists!.find((one) => one.pumpId === pump.id)!.plotIds
    expect([...order].sort()).toEqual([...ids].sort())
    const own = results.turns.filter((turn) => turn.pumpId === pump.id)
    const begun = [...new Set(own.map((turn) => turn.plotId))].filter((id) => order.includes(id))
    const inOrder = order.filter((id) => begun.includes(id))
    expect(begun[0]).toBe(inOrder[0])
    expect(own.filter((turn) => turn.on === '2026-12-01' || turn.on === '2026-12-02')).toEqual([])

    const shown = await chair.open(`/turns/weeks/${NEXT}`)
    expect(shown.words).toContain(`Pump ${pump.number}, ${pump.name}, goes by its list`)
    expect(shown.words).toContain(`Pump ${pump.number}: the list is paused, a funeral. old Berro`)
    // Whoever settled it does not publish by it alone.
    const other = await valley.signIn('besi')
    const published = await other.send(
      await other.open(`/turns/weeks/${NEXT}/publish`),
      {},
      `/turns/weeks/${NEXT}/publish`,
    )
    expect(published.status).toBe(200)
    expect((await findPublishedWeek(valley.db, NEXT))!.inputs.turnFacts!.lists).toHaveLength(1)
  })

  it('moves on when a turn of the week is logged, as when a name is ticked', async () => {
    const { pump, ids, numbers } = await listed()
    const list = { fromOn: VALLEY_TODAY, perDay: '2', plots: numbers.join('\n') }
    await chair.fill(`/turns/settle/list/${pump.id}`, list)
    const names = async (today: string) =>
      (await weekLists(valley.db, { weekStartOn: NEXT, today })).find((one) => one.pumpId === pump.id)!.plotIds
    const { turns } = (await findPublishedWeek(valley.db, '2026-11-23'))!.results
    const due = turns.filter((turn) => turn.pumpId === pump.id && turn.on >= VALLEY_TODAY && ids.includes(turn.plotId))
    expect(due.length).toBeGreaterThan(0)
    const stillDue = await names(VALLEY_TODAY)
    expect(stillDue.at(-1)).toBe(due.at(-1)!.plotId) // Turns that come before the week count as had.
    expect(await names(NEXT)).toEqual(ids) // Over and not written in: nothing until settled.
    const page = await chair.open(`/turns/lists/${pump.id}`)
    await chair.send(page, {}, `/turns/lists/${pump.id}/had`)
    expect((await names(NEXT)).at(-1)).toBe(ids[0])
  })

  it('calls one more on a day on which two of three had their turn, though one of them was ticked and logged', async () => {
    const { pump, ids, numbers } = await listed()
    const list = { fromOn: VALLEY_TODAY, perDay: '3', plots: numbers.join('\n') }
    await chair.fill(`/turns/settle/list/${pump.id}`, list)
    const path = `/turns/lists/${pump.id}`
    for (const _ of [1, 2]) await chair.send(await chair.open(path), {}, `${path}/had`)
    const { turns } = (await bookedTurns(valley.db, '2026-11-23'))!
    const turn = turns.find(({ plotId, on }) => plotId === ids[0] && on === VALLEY_TODAY)!
    valley.setNow(`${VALLEY_TODAY}T19:00:00Z`)
    const dovi = await valley.signIn('dovi')
    await dovi.fill(`/log/turns/${turn.bookId}?method=volume`, { volume: '1', unit: 'm3' })
    const { html } = await chair.open(path)
    const today = html.querySelector('main table tbody td')!.text
    expect([...today.matchAll(/(\d+) /g)].map(([, number]) => Number(number))).toEqual([numbers[2]])
  })

  it('counts for the order of a week what was ticked before its first day', async () => {
    const { pump, ids, numbers } = await listed()
    const list = { fromOn: VALLEY_TODAY, perDay: '2', plots: numbers.join('\n') }
    await chair.fill(`/turns/settle/list/${pump.id}`, list)
    valley.setNow(`${NEXT}T06:00:00Z`)
    chair = await valley.signIn('amaru')
    const path = `/turns/lists/${pump.id}`
    await chair.send(await chair.open(path), {}, `${path}/had`)
    const [ofWeek] = await weekLists(valley.db, { weekStartOn: NEXT, today: NEXT })
    expect(ofWeek!.plotIds).toEqual(ids)
  })

  it('goes on after a breakdown at the name that the page of the list shows next', async () => {
    const { pump, numbers, ids } = await listed()
    const list = { fromOn: VALLEY_TODAY, perDay: '2', plots: numbers.join('\n') }
    await chair.fill(`/turns/settle/list/${pump.id}`, list)
    const fault = await chair.open('/log/faults/new')
    const what = { onDate: VALLEY_TODAY, what: 'cable burnt', stopsPump: 'yes' }
    await chair.send(fault, { pumpId: optionValue(fault, 'pumpId', pump.name), ...what })
    const first = (await chair.open(`/turns/lists/${pump.id}`)).html.querySelector('main ol li')!.text
    const { plotIds } = (await weekLists(valley.db, { weekStartOn: NEXT, today: VALLEY_TODAY })).find(
      ({ pumpId }) => pumpId === pump.id,
    )!
    expect(plotIds[0]).toBe(ids[0])
    expect(first).toContain(String(numbers[ids.indexOf(plotIds[0]!)]))
  })
})
