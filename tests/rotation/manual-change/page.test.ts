import { beforeAll, describe, expect, it } from 'vitest'
import { checkChangedWeek } from '../../../domain/rotation/manual-change/week.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { onTheList } from '../../../server/rotation/published/amendment-store.ts'
import { agreedTurns } from '../../../server/rotation/published/store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { namedBasis, openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Seen, Visitor } from '../../support/visitor.ts'
import { readCalendar } from '../slip/calendar-reader.ts'

const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

const draft = async () =>
  (await shownWeek(valley.db, answers.rotation, {
    group: (await currentGroup(valley.db))!,
    weekStartOn: NEXT,
    today: VALLEY_TODAY,
  }))!
const change = (turn: PlannedTurn) => `/turns/weeks/${NEXT}/change?turn=${encodeURIComponent(turn.id)}`
const ofOfficer = (week: Awaited<ReturnType<typeof draft>>, turn: PlannedTurn) =>
  week.inputs.turnFacts!.officerPlotIds.includes(turn.plotId)
const getsOf = (page: Seen, plotNumber: number) => {
  const rows = page.html.querySelectorAll('table').at(-1)!.querySelectorAll('tbody tr')
  const row = rows.find((one) => one.querySelector('th')!.text.trim().split(/\s+/).includes(`${plotNumber}`))!
  return Number(row.querySelectorAll('td')[1]!.text)
}

describe('the committee’s hand on a draft', () => {
  it('takes a turn off the list with name and reason, and puts it back', async () => {
    const before = await draft()
    const turn = before.results.turns.find((one) => !ofOfficer(before, one))!
    const plot = before.inputs.plots.find((one) => one.id === turn.plotId)!
    const gets = getsOf(await chair.open(`/turns/weeks/${NEXT}`), plot.number)
    const page = await chair.fill(change(turn), { kind: 'drop', reason: 'the household has gone to a burial' })
    expect(page.path).toBe(`/turns/weeks/${NEXT}`)
    expect(page.words).toContain(`Plot ${plot.number}: the turn of`)
    expect(page.words).toMatch(/Amaru\w*.*the household has gone to a burial/)
    expect(getsOf(page, plot.number)).toBeCloseTo(gets - turn.volumeM3, 0)
    const week = await draft()
    expect(week.results.turns.some((one) => one.id === turn.id)).toBe(false)
    expect(checkChangedWeek(week.inputs, week.results)).toEqual([])
    const back = page.html.querySelector('a[href^="/turns/settle/take-back/"]')!.getAttribute('href')!
    const after = await chair.fill(back, { reason: 'they came back' })
    expect(getsOf(after, plot.number)).toBe(gets)
    expect((await draft()).results.hand).toBeUndefined()
  })

  it('says beside the field what the flow cannot carry, keeps what was typed and writes nothing', async () => {
    const [turn] = (await draft()).results.turns
    const early = await chair.fill(change(turn!), { kind: 'move', start: '04:00', reason: 'cool hour' })
    expect(early.status).toBe(422)
    expect(early.html.querySelector('#start-error')!.text).toContain('does not carry that much')
    expect(early.html.querySelector('#reason')!.getAttribute('value')).toBe('cool hour')
    const much = await chair.fill(change(turn!), { kind: 'lengthen', volume: '900', reason: 'more' })
    expect(much.html.querySelector('#volume-error')!.text).toContain('does not carry that much')
    const missing = await chair.fill(change(turn!), { kind: 'lengthen', reason: 'more' })
    expect(missing.html.querySelector('#volume-error')).not.toBeNull()
    expect((await draft()).inputs.turnFacts!.changes).toEqual([])
  })

  it('moves a turn to an hour that the flow carries; its end follows from the flow', async () => {
    const before = await draft()
    const [day, turn] = freeDay(before)
    await chair.fill(change(turn), { kind: 'move', onDate: day, start: '11:00', reason: 'mill day' })
    const week = await draft()
    const moved = week.results.turns.find((one) => one.plotId === turn.plotId && one.on === day)!
    expect([moved.startMinute, moved.volumeM3]).toEqual([660, turn.volumeM3])
    // By hand, minute by minute from 11:00: the smaller of the outlet's flow and the pump's until the volume has come.
    const outletM3PerH = week.inputs.outlets.find((one) => one.id === moved.outletId)!.flowM3PerH
    const flows = week.inputs.pumps.find((one) => one.id === moved.pumpId)!.flowM3PerHByDay[day]!
    let [minute, givenM3] = [660, 0]
    while (givenM3 < moved.volumeM3 - 1e-6) givenM3 += Math.min(outletM3PerH, flows[Math.floor(minute++ / 60)]!) / 60
    expect(moved.endMinute).toBe(Math.max(minute, 670))
    expect(checkChangedWeek(week.inputs, week.results)).toEqual([])
  })

  it('warns of a day without turns and lets the committee decide', async () => {
    await chair.fill('/turns/settle/no-turn-day', { onDate: '2026-12-06', words: 'the pumps rest' })
    const before = await draft()
    const isFree = (pumpId: string) =>
      !before.results.turns.some((one) => one.pumpId === pumpId && one.on === '2026-12-06')
    const isDirect = ({ outletId }: PlannedTurn) =>
      before.inputs.outlets.some(({ id, tankId }) => id === outletId && !tankId)
    const small = before.results.turns.filter((one) => isFree(one.pumpId)).sort((x, y) => x.volumeM3 - y.volumeM3)
    const turn = small.find((one) => isDirect(one) && !ofOfficer(before, one))!
    const plot = before.inputs.plots.find((one) => one.id === turn.plotId)!
    await chair.fill(change(turn), { kind: 'move', onDate: '2026-12-06', start: '12:00', reason: 'no other day' })
    const page = await chair.open(`/turns/weeks/${NEXT}`)
    expect(page.words).toContain(`Plot ${plot.number}, Sunday 6 December 12:00: a day or hour without turns.`)
    const week = await draft()
    expect(checkChangedWeek(week.inputs, week.results)).toEqual([])
  })

  it('asks a second name for an officer’s own turn before the week is published', async () => {
    const before = await draft()
    const turn = before.results.turns.find((one) => ofOfficer(before, one))!
    const plot = before.inputs.plots.find((one) => one.id === turn.plotId)!
    await chair.fill(change(turn), { kind: 'drop', reason: 'no need after the rain' })
    const page = await chair.open(`/turns/weeks/${NEXT}`)
    expect(page.words).toContain('it needs a second name')
    // The day without turns that was written before has one.
    await namedBasis(valley, NEXT, 'goro')
    const refused = await chair.send(
      await chair.open(`/turns/weeks/${NEXT}/publish`),
      {},
      `/turns/weeks/${NEXT}/publish`,
    )
    expect(refused.status).toBe(409)
    expect(refused.words).toContain(`Plot ${plot.number} belongs to an officer`)
    const other = await valley.signIn('besi')
    const seen = await other.open(`/turns/weeks/${NEXT}`)
    const form = seen.html.querySelector('form[action^="/turns/names/by-hand/"]')!.getAttribute('action')!
    expect((await other.send(seen, {}, form)).words).toContain('put a second name under it')
    const published = await chair.send(
      await chair.open(`/turns/weeks/${NEXT}/publish`),
      {},
      `/turns/weeks/${NEXT}/publish`,
    )
    expect(published.words).toContain('Published')
    expect(published.words).toContain('Changed by hand')
  })
})

describe('a change after publication', () => {
  it('stands beside the frozen week as a dated amendment, and the log goes by it', async () => {
    const frozen = await valley.db
      .selectFrom('publishedWeek')
      .selectAll()
      .where('weekStartOn', '=', NEXT)
      .executeTakeFirstOrThrow()
    const turns = (JSON.parse(frozen.results) as { turns: PlannedTurn[] }).turns
    const turn = turns[0]!
    const id = (await agreedTurns(valley.db, [frozen.entryId]).execute())[0]?.id
    await chair.fill(change(turn), { kind: 'drop', reason: 'valve broken' })
    const asked = await chair.open(`/turns/weeks/${NEXT}`)
    expect(asked.words).toContain('Asked for after publication, not yet in the list')
    expect((await chair.open(`/turns/${id}`)).words).not.toContain('taken off the list')
    await secondNames()
    for (const path of [`/turns/weeks/${NEXT}`, `/turns/weeks/${NEXT}/sheet`]) {
      const page = await chair.open(path)
      expect(page.words).toContain('Changed after publication')
      expect(page.words).toContain('valve broken')
    }
    const now = await valley.db.selectFrom('publishedWeek').selectAll().where('weekStartOn', '=', NEXT).execute()
    expect(now).toEqual([frozen])
    expect((await chair.open(`/log/days/${turn.on}`)).text).not.toContain(`/turns/${id}/`)
    const [event] = readCalendar((await chair.agent.get(`/turns/${id}.ics`)).text)
    expect(event!.STATUS).toBe('CANCELLED')
    expect((await chair.open(`/turns/${id}`)).words).toContain('taken off the list')
  })

  it('brings in a turn that can be logged like any other', async () => {
    const week = (await draft()).inputs
    const plot = week.plots.find((one) => one.outletIds.length > 0)!
    const page = await chair.fill(`/turns/weeks/${NEXT}/change?as=add`, {
      plotId: plot.id,
      outletId: plot.outletIds[0]!,
      onDate: '2026-12-06',
      start: '09:00',
      volume: '1',
      reason: 'seedlings',
    })
    expect(page.words).toContain('seedlings')
    const waiting = await valley.db
      .selectFrom('turn')
      .select('id')
      .where(onTheList)
      .where('id', 'like', `${NEXT}-a%`)
      .execute()
    expect(waiting).toEqual([])
    await secondNames()
    const row = await valley.db
      .selectFrom('turn')
      .selectAll()
      .where(onTheList)
      .where('id', 'like', `${NEXT}-a%`)
      .executeTakeFirstOrThrow()
    expect([row.plotId, row.onDate, row.startMinute, row.volumeM3]).toEqual([plot.id, '2026-12-06', 540, 1])
    expect((await chair.open(`/turns/${row.id}/slip`)).words).toContain('1.0 m³')
    expect((await chair.open(`/log/turns/${row.id}`)).status).toBe(200)
  })
})

/** Somebody of the committee who neither wrote nor gains puts the second name under each change that waits. */
async function secondNames(): Promise<void> {
  for (const name of ['besi', 'chandu']) {
    const other = await valley.signIn(name)
    const page = await other.open(`/turns/weeks/${NEXT}`)
    for (const form of page.html.querySelectorAll('form[action^="/turns/names/by-hand/"]')) {
      await other.send(page, {}, form.getAttribute('action')!)
    }
  }
}

/** A day on which the turn's pump has no turn at all, so that the whole flow is there. */
function freeDay({ inputs, results }: Awaited<ReturnType<typeof draft>>): [string, PlannedTurn] {
  const officers = inputs.turnFacts!.officerPlotIds
  for (const turn of results.turns.filter((one) => !officers.includes(one.plotId)))
    for (const day of inputs.days)
      if (!results.turns.some((one) => one.pumpId === turn.pumpId && one.on === day)) return [day, turn]
  throw new Error('every pump has turns on every day')
}
