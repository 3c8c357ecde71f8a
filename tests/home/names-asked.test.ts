import { beforeAll, expect, it } from 'vitest'
import { answers } from '../../server/answers.ts'
import { currentGroup } from '../../server/people/group/store.ts'
import { bookedTurns } from '../../server/rotation/published/turn-store.ts'
import { shownWeek } from '../../server/rotation/week/view.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

// Changes by hand ask the other officers for a name on the first page: each is counted for everybody but its writer, once, in its week.

const NOW = '2026-11-23'
const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let officersTurns: { now: string[]; next: string[] }
let othersTurns: typeof officersTurns
beforeAll(async () => {
  valley = await openValley()
  valley.setNow(`${VALLEY_TODAY}T05:00:00Z`)
  const group = (await currentGroup(valley.db))!
  const draft = (await shownWeek(valley.db, answers.rotation, { group, weekStartOn: NEXT, today: VALLEY_TODAY }))!
  const officers = draft.inputs.turnFacts!.officerPlotIds
  const booked = (await bookedTurns(valley.db, NOW))!.turns.filter(({ on }) => on > VALLEY_TODAY)
  const turns = (isOfficers: boolean) => ({
    now: booked.filter(({ plotId }) => officers.includes(plotId) === isOfficers).map(({ id }) => id),
    next: draft.results.turns.filter(({ plotId }) => officers.includes(plotId) === isOfficers).map(({ id }) => id),
  })
  officersTurns = turns(true)
  othersTurns = turns(false)
})

const drop = async (who: string, week: string, turn: string) => {
  const path = `/turns/weeks/${week}/change?turn=${encodeURIComponent(turn)}`
  const page = await (await valley.signIn(who)).fill(path, { kind: 'drop', reason: 'no need after the rain' })
  expect(page.status, page.words).toBe(200)
}

/** What the first page asks of each of three officers about changes to a week. */
async function asked(week: string) {
  const told = async (who: string) => {
    const { html } = await (await valley.signIn(who)).open('/')
    const links = html.querySelectorAll(`main a[href="/turns/weeks/${week}"]`).map(({ text }) => text)
    return links.flatMap(
      (text) => /(a change|\d+ changes) to (an officer's own turn|the published week)/.exec(text)?.[0] ?? [],
    )
  }
  return { amaru: await told('amaru'), besi: await told('besi') }
}

it('of a published week by everybody but who wrote them', async () => {
  await drop('amaru', NOW, othersTurns.now[0]!)
  expect(await asked(NOW)).toEqual({ amaru: [], besi: ['a change to the published week'] })
  await drop('besi', NOW, othersTurns.now[1]!)
  await drop('besi', NOW, othersTurns.now[2]!)
  expect(await asked(NOW)).toEqual({
    amaru: ['2 changes to the published week'],
    besi: ['a change to the published week'],
  })
  expect(await asked(NEXT)).toEqual({ amaru: [], besi: [] })
})

it('of a draft where the turn is an officer’s, until a second name stands under it', async () => {
  await drop('amaru', NEXT, othersTurns.next[0]!)
  expect(await asked(NEXT)).toEqual({ amaru: [], besi: [] })
  await drop('amaru', NEXT, officersTurns.next[0]!)
  expect(await asked(NEXT)).toEqual({ amaru: [], besi: ["a change to an officer's own turn"] })
  const besi = await valley.signIn('besi')
  const week = await besi.open(`/turns/weeks/${NEXT}`)
  const action = week.html.querySelector('form[action^="/turns/names/by-hand/"]')!.getAttribute('action')!
  await besi.send(week, {}, action)
  expect(await asked(NEXT)).toEqual({ amaru: [], besi: [] })
})
