import { beforeEach, describe, expect, it } from 'vitest'
import { sum } from '../../../domain/sum.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownDay } from '../../../server/rotation/day/lines.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const DAY = `/log/days/${VALLEY_TODAY}`

let valley: Awaited<ReturnType<typeof openValley>>
let attendant: Visitor
beforeEach(async () => {
  valley = await openValley()
  valley.setNow(`${VALLEY_TODAY}T12:00:00Z`)
  attendant = await valley.signIn('dovi')
})

const shown = async () => shownDay(valley.db, answers.rotation, (await currentGroup(valley.db))!, VALLEY_TODAY)

/** A pump with two turns or more still to come, at the moment before the first of them. */
async function busyPump() {
  const { lines } = await shown()
  const open = lines.filter(({ state, turn }) => state === 'open' && !turn.outlet?.tank)
  const pumpId = open
    .map(({ turn }) => turn.pumpId)
    .find((id) => open.filter(({ turn }) => turn.pumpId === id).length > 1)!
  return { pumpId, turns: open.filter(({ turn }) => turn.pumpId === pumpId).map(({ turn }) => turn) }
}

const write = async (pumpId: string, fields: Record<string, string>) => {
  const page = await attendant.open(DAY)
  return attendant.send(page, { pumpId, ...fields }, `${DAY}/less`)
}

describe('a day on which the pump was read', () => {
  it('goes on at the part that the pump gave, and takes the rest from the turns to come', async () => {
    const { pumpId } = await busyPump()
    const refused = await write(pumpId, { kind: 'given', gave: '9999' })
    expect(refused.status).toBe(422)
    const expected = Number(/was to have given ([\d.]+) m³/.exec(refused.html.querySelector('#gave-error')!.text)![1])
    const page = await write(pumpId, { kind: 'given', gave: String(expected / 4) })
    expect(page.words).toMatch(/had given [\d.]+ m³ by 12:00 in place of/)
    expect(page.words).toContain('goes on at 25% of what was planned')
    const [change] = (await shown()).changes
    expect(change).toMatchObject({ kind: 'given', fromMinute: 720 })
    expect(sum(change!.turns, ({ wasM3, nowM3 }) => wasM3 - nowM3)).toBeGreaterThan(0)
  })

  it('goes by the queue where the group chose so: nobody later has water while an earlier one lacks it', async () => {
    const chair = await valley.signIn('amaru')
    const form = await chair.open('/turns/settle/short-day')
    expect((await chair.send(form, { fromOn: '2026-11-01', rule: 'queue' })).status).toBe(422)
    await chair.send(await chair.open('/turns/settle/short-day'), { fromOn: VALLEY_TODAY, rule: 'queue' })
    expect((await attendant.open(DAY)).words).toContain('by the list, each in full, as far as the day goes')
    const { pumpId, turns } = await busyPump()
    const inWords = await write(pumpId, { kind: optionValue(await attendant.open(DAY), 'kind', 'Dull day') })
    expect(inWords.words).toContain('The day shared anew')
    const [change] = (await shown()).changes
    const order = turns.map(({ bookId }) => change!.turns.find(({ turnId }) => turnId === bookId))
    const firstShort = order.findIndex((row) => row && row.wasM3 - row.nowM3 > 0.001)
    expect(firstShort).toBeGreaterThanOrEqual(0)
    const later = order.slice(firstShort + 1)
    expect(later.every((row) => row?.nowM3 === 0)).toBe(true)
  })

  it('asks for the number, and for the word that goes with it', async () => {
    const { pumpId } = await busyPump()
    expect((await write(pumpId, { kind: 'given' })).html.querySelector('#gave-error')).not.toBeNull()
    expect((await write(pumpId, { kind: 'dull', gave: '2' })).html.querySelector('#kind-error')).not.toBeNull()
    expect((await write(pumpId, { kind: 'given', gave: '2', since: '03:00' })).words).toContain('given nothing yet')
  })
})
