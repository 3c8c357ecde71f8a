import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownDay } from '../../../server/rotation/day/lines.ts'
import { settledMissed } from '../../../server/rotation/outcome/season.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { answersOf, type Seen, type Visitor } from '../../support/visitor.ts'
import { excuse } from '../outcome/excuse.ts'

const DAY = `/log/days/${VALLEY_TODAY}`
const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

const group = async () => (await currentGroup(valley.db))!
const day = async () => shownDay(valley.db, answers.rotation, await group(), VALLEY_TODAY)
const openLine = async (at = 0) => (await day()).lines.filter((line) => line.state === 'open')[at]!
const litres = (page: Seen) =>
  page.html
    .querySelectorAll('table')
    .at(-1)!
    .querySelectorAll('tbody tr')
    .map((row) => row.querySelectorAll('td').map((cell) => Math.round(Number(cell.text.replaceAll(',', '')) * 1000)))
const say = async (turnId: string, cause: string) => {
  const page = await chair.open(DAY)
  const form = page.html.querySelector(`form[action="/turns/${turnId}/became"]`)!
  const hidden = Object.fromEntries(
    form.querySelectorAll('input').map((input) => [input.getAttribute('name')!, input.getAttribute('value')!]),
  )
  await chair.agent
    .post(`/turns/${turnId}/became`)
    .type('form')
    .send({ ...hidden, cause })
  return chair.open(DAY)
}

describe('the day’s list', () => {
  it('says of each turn what became of it with one tap, takes it back, and adds up to the litre', async () => {
    const before = await openLine()
    const page = await say(before.turn.bookId, 'no-show')
    expect(page.words).toContain('without word; it counts as received')
    const rows = litres(page)
    const total = rows.at(-1)!
    const [count, volume] = rows.slice(0, -1).reduce((sum, row) => [sum[0]! + row[0]!, sum[1]! + row[1]!], [0, 0])
    expect([count, volume]).toEqual(total)
    expect((await day()).totals.byState.missed.count).toBe(1)
    await say(before.turn.bookId, 'here')
    expect((await day()).totals.byState.missed.count).toBe(0)
  })

  it('owes for a turn that was called off and came in part the rest alone', async () => {
    const { turn } = await openLine()
    await excuse(chair, turn.bookId)
    valley.setNow(`${VALLEY_TODAY}T19:00:00Z`)
    const dovi = await valley.signIn('dovi')
    const logged = await dovi.fill(`/log/turns/${turn.bookId}?method=volume`, { volume: '1', unit: 'm3' })
    expect(logged.status).toBe(200)
    const { running } = await settledMissed(valley.db, answers.rotation, await group(), NEXT)
    expect(running.map(({ plotId, leftM3 }) => [plotId, leftM3.toFixed(3)])).toEqual([
      [turn.plotId, (turn.volumeM3 - 1).toFixed(3)],
    ])
  })

  it('lets the cause decide: without word counts as received, excused waits, a breakdown lowers the entitlement', async () => {
    const { turn } = await openLine()
    const week = async () =>
      (await shownWeek(valley.db, answers.rotation, { group: await group(), weekStartOn: NEXT, today: VALLEY_TODAY }))!
    const figures = async () => {
      const { inputs } = await week()
      const entitledM3 = inputs.pastWeeks.at(-1)!.entitledM3[turn.plotId] ?? 0
      return {
        receivedM3: inputs.receivedM3[turn.plotId] ?? 0,
        entitledM3,
        carriedM3: inputs.carryOverM3[turn.plotId] ?? 0,
      }
    }
    const before = await figures() // The open turn is still due, so it counts as received.
    await say(turn.bookId, 'no-show')
    expect((await figures()).receivedM3).toBeCloseTo(before.receivedM3, 6)
    await say(turn.bookId, 'here')
    await excuse(chair, turn.bookId)
    const excused = await figures()
    expect(excused.receivedM3).toBeCloseTo(before.receivedM3 - turn.volumeM3, 6)
    expect(excused.carriedM3).toBeGreaterThan(0)
    expect((await settledMissed(valley.db, answers.rotation, await group(), NEXT)).running).toMatchObject([
      { leftM3: turn.volumeM3 },
    ])
    await say(turn.bookId, 'here')
    await say(turn.bookId, 'breakdown')
    const broken = await figures()
    expect(broken.receivedM3).toBeCloseTo(before.receivedM3 - turn.volumeM3, 6)
    expect(broken.entitledM3).toBeCloseTo(Math.max(0, before.entitledM3 - turn.volumeM3), 6)
  })

  it('names the stand-in', async () => {
    const { turn } = await openLine()
    const path = `/turns/${turn.bookId}/otherwise?as=stand-in`
    const form = await chair.open(path)
    const [person] = answersOf(form, 'personId')
    const page = await chair.send(form, { personId: person!.value })
    expect(page.path).toBe(DAY)
    expect(page.words).toMatch(/stands in/)
  })

  it('does not close while a turn has nothing beside it, then closes and says when something was written since', async () => {
    const early = await chair.fill(DAY, {}, { action: `${DAY}/close` })
    expect(early.status).toBe(409)
    expect(early.words).toContain('Write what became of every turn')
    for (const { turn } of (await day()).lines.filter((line) => line.state === 'open')) await excuse(chair, turn.bookId)
    const closed = await chair.fill(DAY, {}, { action: `${DAY}/close` })
    expect(closed.words).toContain('Closed by Amaru')
    expect(closed.words).not.toContain('Close the sheet again')
    // Another day has a sheet of its own.
    const before = `/log/days/${addDays(VALLEY_TODAY, -1)}`
    expect((await chair.open(before)).words).not.toContain('Closed by')
    expect((await chair.fill(before, {}, { action: `${before}/close` })).words).toContain('Closed by Amaru')
    expect((await chair.open(DAY)).words).not.toContain('Close the sheet again')
    const { lines } = await day()
    const later = await say(lines.find((line) => line.said.missed)!.turn.bookId, 'here')
    expect(later.words).toContain('Close the sheet again')
  })

  it('shows missed turns with the last day on which they can be made good', async () => {
    const { turn } = await openLine()
    await excuse(chair, turn.bookId)
    valley.setNow('2026-11-26T06:00:00Z')
    chair = await valley.signIn('amaru')
    const page = await chair.open('/turns/fair?as=missed')
    expect(page.words).toContain(`Plot ${turn.plot!.number}:`)
    expect(page.words).toMatch(/until \w+/)
  })
})

describe('half a day and a stopped pump', () => {
  it('shares the rest anew, keeps what is short and leaves the published week frozen', async () => {
    const before = await day()
    const { turn } = await openLine()
    const page = await chair.fill(DAY, { pumpId: turn.pumpId, kind: 'down', since: '06:00' }, { action: `${DAY}/less` })
    expect(page.words).toMatch(/stood still from 06:00 on/)
    expect(page.words).toContain('now nothing')
    expect(page.words).toMatch(/Tell these people now: \w+/)
    const after = await day()
    const lost = after.lines.filter((line) => line.lostTo)
    const open = before.lines.filter((line) => line.state === 'open' && line.turn.pumpId === turn.pumpId)
    expect(lost.map((line) => line.turn.bookId)).toEqual(open.map((line) => line.turn.bookId))
    expect(after.totals.byState.missed.count).toBe(open.length)
    expect(after.week!.results).toEqual(before.week!.results)
    const sheet = await chair.open(`/turns/weeks/${after.weekStartOn}/sheet`)
    expect(sheet.words).toContain('stands still from 06:00 on')
  })

  it('under half the sun gives no turn more than agreed and nobody more than the pump brings', async () => {
    const { turn } = await openLine()
    await chair.fill(DAY, { pumpId: turn.pumpId, kind: 'half', since: '06:00' }, { action: `${DAY}/less` })
    const after = await day()
    for (const change of after.changes) for (const row of change.turns) expect(row.nowM3).toBeLessThanOrEqual(row.wasM3)
    const listed = after.lines.filter((line) => line.state === 'open')
    for (const line of listed) expect(line.turn.endMinute).toBeGreaterThan(line.turn.startMinute)
  })

  it('goes by the meter for a turn that was running, says so, and lists only what is still to come', async () => {
    const { turn } = await openLine()
    const cut = Math.floor((turn.startMinute + turn.endMinute) / 2)
    const clock = (minute: number) =>
      `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`
    const volume = (Math.round(turn.volumeM3 * 400) / 1000).toFixed(3)
    const log = { volume, startTime: clock(turn.startMinute), endTime: clock(cut) }
    const written = await chair.fill(`/log/turns/${turn.bookId}?method=volume`, { ...log, unit: 'm3' })
    expect(written.path).toContain('/log/lines/drawn/')
    const change = { pumpId: turn.pumpId, kind: 'down', since: clock(cut), until: clock(cut + 20) }
    const page = await chair.fill(DAY, change, { action: `${DAY}/less` })
    expect(page.words).toMatch(/had come by then, says the log/)
    const { lines, changes } = await day()
    expect(lines.find((line) => line.turn.bookId === turn.bookId)!.state).toBe('done')
    const row = changes[0]!.turns.find((one) => one.turnId === turn.bookId)!
    expect(row).toMatchObject({ drawnBy: 'log', wasM3: turn.volumeM3 })
    expect(row.drawnM3).toBeCloseTo(Number(volume), 3)
    const rest = lines.find((line) => line.turn.amendment === row.amendmentId)!
    expect(rest.state).toBe('open')
    expect(rest.turn.startMinute).toBeGreaterThanOrEqual(cut + 20)
    expect(rest.turn.volumeM3).toBeCloseTo(row.nowM3 - row.drawnM3!, 3)
  })

  it('says where only the plan knows what a running turn had drawn', async () => {
    const { turn } = await openLine()
    const since = `${String(Math.floor((turn.startMinute + 20) / 60)).padStart(2, '0')}:${String((turn.startMinute + 20) % 60).padStart(2, '0')}`
    const page = await chair.fill(DAY, { pumpId: turn.pumpId, kind: 'down', since }, { action: `${DAY}/less` })
    expect(page.words).toMatch(/as reckoned from the plan; the log had nothing yet/)
  })

  it('asks for the pump and what happened beside the fields, and writes nothing', async () => {
    const page = await chair.fill(DAY, { pumpId: '', kind: 'down', since: 'noon' }, { action: `${DAY}/less` })
    expect(page.status).toBe(422)
    expect(page.html.querySelector('#since-error')).not.toBeNull()
    expect(page.html.querySelector('#since')!.getAttribute('value')).toBe('noon')
    expect((await day()).changes).toEqual([])
  })

  it('is read by every member, and written by whoever attends; a member may only call off an own turn', async () => {
    const member = await valley.signIn('hila')
    const page = await member.open(DAY)
    expect(page.status).toBe(200)
    expect(page.html.querySelector(`form[action="${DAY}/less"]`)).toBeNull()
    expect(page.html.querySelector('button[value="no-show"]')).toBeNull()
  })
})
