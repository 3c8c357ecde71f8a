import { beforeEach, describe, expect, it } from 'vitest'
import { currentGroup } from '../../server/people/group-store.ts'
import { standingWeek } from '../../server/rotation/booking-store.ts'
import { fairSeason } from '../../server/rotation/fair-season.ts'
import type { BookedTurn } from '../../server/rotation/slip-turns.ts'
import { payerOfTurn } from '../../server/rotation/swap-store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Visitor } from '../support/visitor.ts'

const WEEK = '2026-11-23'
const AFTER = '2026-12-01'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

const standing = async () => (await standingWeek(valley.db, WEEK))!.standing
const turnOfPlot = async (number: number, on: string) =>
  (await standing()).find((turn) => turn.plot!.number === number && turn.on === on)!
const season = async (today: string) => fairSeason(valley.db, (await currentGroup(valley.db))!, today)

/** A new holder of a plot who signs in alone. */
async function holderOf(turn: BookedTurn, number: number, name: string): Promise<Visitor> {
  const password = 'a word of their own'
  await chair.fill('/persons/new', { number: String(number), name, roles: ['member'], signInName: name, password })
  const form = await chair.open(`/plots/${turn.plotId}/holders/new`)
  const box = form.html
    .querySelectorAll('label')
    .find((label) => label.text.includes(name))!
    .getAttribute('for')!
  const value = form.html.querySelector(`#${box}`)!.getAttribute('value')!
  await chair.send(form, { holderIds: [value] })
  const visitor = valley.visitor()
  await visitor.fill('/session/new', { signInName: name, password })
  return visitor
}

describe('two members who swap their turns', () => {
  it('each agree for themselves; sheet, hard hours, payer and fairness then follow', async () => {
    const first = await turnOfPlot(39, VALLEY_TODAY) // At noon today.
    const second = await turnOfPlot(38, '2026-11-26') // At dawn tomorrow.
    const [mine, theirs] = [first.plotId, second.plotId]
    const before = (await season(VALLEY_TODAY)).burdens
    const fairBefore = (await season(AFTER)).fairness.plots.filter((line) => [mine, theirs].includes(line.plotId))
    const lumi = await holderOf(first, 901, 'lumian')
    const kelo = await holderOf(second, 902, 'kelora')

    const proposed = await lumi.fill(`/turns/${first.bookId}/swaps/new`, { otherTurnId: second.bookId, payer: 'taker' })
    expect(proposed.words).toContain('lumian agreed, written by lumian')
    expect(proposed.words).toContain('Plot 38 (kelora) has not agreed yet')
    expect(proposed.html.querySelector('form[action$="/consents"]')).toBeNull() // Nobody agrees for the other.
    expect((await turnOfPlot(39, VALLEY_TODAY)).bookId).toBe(first.bookId)

    const agreed = await kelo.send(await kelo.open('/swaps'), {})
    expect(agreed.words).toContain('Agreed by both')
    const [now39, now38] = [await turnOfPlot(39, '2026-11-26'), await turnOfPlot(38, VALLEY_TODAY)]
    expect(now39).toMatchObject({ startMinute: second.startMinute, volumeM3: first.volumeM3, outletId: first.outletId })
    expect(now38).toMatchObject({ startMinute: first.startMinute, volumeM3: second.volumeM3 })
    expect(await payerOfTurn(valley.db, now39.bookId)).toMatchObject({ plotId: mine })

    const sheet = await chair.open(`/weeks/${WEEK}/sheet`)
    const rows = sheet.html.querySelectorAll('tbody tr').map((row) => row.text.replace(/\s+/g, ' '))
    const gone = rows.filter((row) => row.includes('changed, see below'))
    const brought = rows.filter((row) => row.includes('brought in later, see below'))
    expect(gone.map((row) => /38 Kelo|39 Lumi/.exec(row)?.[0]).sort()).toEqual(['38 Kelo', '39 Lumi'])
    expect(brought).toHaveLength(2)
    expect(sheet.words).toContain('swapped by both; whoever takes the water pays')

    const after = (await season(VALLEY_TODAY)).burdens
    expect(after[mine]!.noon ?? 0).toBe((before[mine]!.noon ?? 0) - 1)
    expect(after[mine]!.dawn ?? 0).toBe((before[mine]!.dawn ?? 0) + 1)
    expect(after[theirs]!.dawn ?? 0).toBe((before[theirs]!.dawn ?? 0) - 1)
    expect(after[theirs]!.noon ?? 0).toBe((before[theirs]!.noon ?? 0) + 1)

    const draw = { unit: 'm3', startTime: '13:00', endTime: '13:40' }
    valley.setNow('2026-11-27T08:00:00Z')
    const dovi = await valley.signIn('dovi')
    for (const turn of [now39, now38])
      await dovi.fill(`/turns/${turn.bookId}/abstraction/new?method=volume`, { ...draw, volume: String(turn.volumeM3) })
    const fair = (await season(AFTER)).fairness.plots
    for (const line of fairBefore) {
      const own = line.plotId === mine ? first : second
      const now = fair.find((one) => one.plotId === line.plotId)!
      expect(now.receivedM3 - line.receivedM3).toBeCloseTo(own.volumeM3, 6)
      expect(now.entitledM3).toBe(line.entitledM3)
    }
    valley.setNow(`${AFTER}T08:00:00Z`)
    const page = await (await valley.signIn('amaru')).open(`/fairness/plots/${mine}`)
    expect(page.status).toBe(200)
  })

  it('lets no third member agree', async () => {
    const [first, second] = [await turnOfPlot(39, VALLEY_TODAY), await turnOfPlot(38, '2026-11-26')]
    const lumi = await holderOf(first, 901, 'lumian')
    await lumi.fill(`/turns/${first.bookId}/swaps/new`, { otherTurnId: second.bookId, payer: 'taker' })
    const hila = await valley.signIn('hila')
    const page = await hila.open('/swaps')
    expect(page.html.querySelector('form[action$="/consents"]')).toBeNull()
    expect((await turnOfPlot(38, '2026-11-26')).bookId).toBe(second.bookId)
  })
})
