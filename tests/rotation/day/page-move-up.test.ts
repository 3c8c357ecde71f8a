import { beforeEach, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownDay } from '../../../server/rotation/day/lines.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'
import { excuse } from '../outcome/excuse.ts'

const DAY = `/log/days/${VALLEY_TODAY}`

let valley: Awaited<ReturnType<typeof openValley>>
let dovi: Visitor
beforeEach(async () => {
  valley = await openValley()
  valley.setNow(`${VALLEY_TODAY}T04:00:00Z`) // Before the pumps run, so that the whole list is still to come.
  dovi = await valley.signIn('dovi')
})

const lines = async () =>
  (await shownDay(valley.db, answers.rotation, (await currentGroup(valley.db))!, VALLEY_TODAY)).lines

/** A turn with another one after it on the same pump. */
async function firstOfTwo() {
  const open = (await lines()).filter((line) => line.state === 'open')
  return open.find(({ turn }, at) => open.slice(at + 1).some((later) => later.turn.pumpId === turn.pumpId))!.turn
}

async function say(turnId: string, cause: string) {
  const page = await dovi.open(DAY)
  const form = page.html.querySelector(`form[action="/turns/${turnId}/became"]`)!
  const hidden = Object.fromEntries(
    form.querySelectorAll('input').map((input) => [input.getAttribute('name')!, input.getAttribute('value')!]),
  )
  await dovi.agent
    .post(`/turns/${turnId}/became`)
    .type('form')
    .send({ ...hidden, cause })
  return dovi.open(DAY)
}

/** Moves the clock to so many minutes after the turn should have begun: whoever is not there by then does not come. */
function waitFor({ startMinute }: { startMinute: number }, minutes: number): void {
  const minute = startMinute + minutes
  const clock = [Math.floor(minute / 60), minute % 60].map((part) => String(part).padStart(2, '0')).join(':')
  valley.setNow(`${VALLEY_TODAY}T${clock}:00Z`)
}

describe('after a no-show', () => {
  it('is not said of a turn that has not begun', async () => {
    const freed = await firstOfTwo()
    const early = await dovi.open(DAY)
    expect(early.words).not.toContain('without word')
    const row = early.html.querySelector(`form[action="/turns/${freed.bookId}/became"]`)!
    expect(row.querySelectorAll('button').map((one) => one.getAttribute('value'))).toEqual(['breakdown'])
    expect((await say(freed.bookId, 'no-show')).words).not.toContain('without word')
    waitFor(freed, 16)
    expect((await say(freed.bookId, 'no-show')).words).toContain('without word')
  })

  it('offers that the next moves up, tells who and when, and writes it as a dated change', async () => {
    const freed = await firstOfTwo()
    const action = `/turns/${freed.bookId}/moves-up`
    expect((await dovi.open(DAY)).html.querySelector(`form[action="${action}"]`)).toBeNull()
    waitFor(freed, 16)
    const offered = await say(freed.bookId, 'no-show')
    expect(offered.words).toMatch(/These hours are free\. Plot \d+, [^.]+, can come at/)
    const moverId = offered.html.querySelector(`form[action="${action}"] input[name=mover]`)!.getAttribute('value')!
    const was = (await lines()).find((line) => line.turn.bookId === moverId)!.turn
    waitFor(freed, 17)
    const moved = await dovi.send(offered, {}, action)
    expect(moved.path).toBe(DAY)
    expect(moved.words).toMatch(/Moved up to \d\d:\d\d–\d\d:\d\d\. Written by Dovi/)
    expect(moved.words).toContain(`Tell these people now: ${was.plot!.holders.join(', ')}`)
    const now = (await lines()).find(
      ({ turn }) => turn.amendment && turn.plotId === was.plotId && !turn.droppedBy,
    )!.turn
    // The next full five minutes after the call.
    expect(now.startMinute).toBe(Math.ceil((freed.startMinute + 17) / 5) * 5)
    expect(now.volumeM3).toBe(was.volumeM3)
    const sheet = await dovi.open('/turns/weeks/2026-11-23/sheet')
    expect(sheet.words).toContain('the next on the list moved up into the hours of plot')
    // Nobody's name stands beside a missed turn: its hours bear the next one alone.
    expect(sheet.words).not.toContain('not taken')
    const clock = (minute: number) =>
      `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`
    const own = sheet.html.querySelectorAll('.block title').map((one) => one.text)
    expect(
      own.filter((one) => one.startsWith(`${freed.plot!.number} `) && one.includes(`${clock(freed.startMinute)}–`)),
    ).toEqual([])
    expect(
      own.some((one) => one.startsWith(`${was.plot!.number} `) && one.includes(`${clock(now.startMinute)}–`)),
    ).toBe(true)
    const back = await say(freed.bookId, 'here')
    expect(back.words).toContain('without word; it counts as received') // The hours are given; the word stands.
  })

  it('offers it for an excused turn too, not for a breakdown, and not to a member', async () => {
    const freed = await firstOfTwo()
    const action = `form[action="/turns/${freed.bookId}/moves-up"]`
    expect((await excuse(dovi, freed.bookId)).html.querySelector(action)).not.toBeNull()
    const hila = await valley.signIn('hila')
    expect((await hila.open(DAY)).html.querySelector(action)).toBeNull()
    await say(freed.bookId, 'here')
    expect((await say(freed.bookId, 'breakdown')).html.querySelector(action)).toBeNull()
  })

  it('moves nobody twice when two attendants press at once, and says that the list has changed', async () => {
    const freed = await firstOfTwo()
    const action = `/turns/${freed.bookId}/moves-up`
    waitFor(freed, 16)
    const page = await say(freed.bookId, 'no-show')
    const again = await dovi.open(DAY)
    await dovi.send(page, {}, action)
    const late = await dovi.send(again, {}, action)
    expect(late.status).toBe(409)
    expect(late.words).toContain('The hours or the list have changed meanwhile')
    const brought = (await lines()).filter(({ turn }) => turn.amendment !== null)
    expect(brought).toHaveLength(1)
  })
})
