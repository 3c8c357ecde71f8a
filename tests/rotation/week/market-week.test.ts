import { describe, expect, it } from 'vitest'
import { addDays, type CalendarDate, datesFromTo } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { setMarketWeek } from '../../../server/people/market-week/store.ts'
import { findPublishedWeek, publishedStarts } from '../../../server/rotation/published/store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { namedBasis, openValley } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

/** The example's weeks are published to Sunday 29 November; the next market is on Wednesday 2 December. */
const FREE = '2026-11-30'
const MARKET = '2026-12-02'

async function marketValley(daysInWeek: number) {
  const valley = await openValley()
  const chair = await valley.signIn('amaru')
  const look = await chair.fill('/people/settle/market-week', { fromOn: MARKET, daysInWeek: String(daysInWeek) })
  const settled = await chair.send(look, {})
  await namedBasis(valley, FREE)
  return { ...valley, chair, look, settled }
}

async function publish(chair: Visitor, start: CalendarDate) {
  const look = await chair.open(`/turns/weeks/${start}/publish`)
  return chair.send(look, {}, `/turns/weeks/${start}/publish`)
}

const longDay = (date: CalendarDate) =>
  new Intl.DateTimeFormat('en-GB', { weekday: 'long', day: 'numeric', month: 'long', timeZone: 'UTC' })
    .format(new Date(`${date}T00:00:00Z`))
    .replace(',', '')

async function takeBackDoor(chair: Visitor) {
  const links = [...(await chair.open('/people/market-weeks')).html.querySelectorAll('a')]
  return links.find(({ textContent }) => textContent === 'take it back')?.getAttribute('href')
}

const shown = (date: CalendarDate) =>
  new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' }).format(
    new Date(`${date}T00:00:00Z`),
  )

describe.each([5, 8])('a market week of %i days in the example valley', (days) => {
  const end = addDays(MARKET, days - 1)
  const next = addDays(MARKET, days)

  it('is looked at before it is settled, and cuts nothing that is published', async () => {
    const valley = await openValley()
    const chair = await valley.signIn('amaru')
    const early = await chair.fill('/people/settle/market-week', { fromOn: '2026-11-27', daysInWeek: String(days) })
    expect(early.status).toBe(422)
    expect(early.words).toContain(`Weeks are published to the day before ${shown(FREE)}`)
    const look = await chair.fill('/people/settle/market-week', { fromOn: MARKET, daysInWeek: String(days) })
    expect(look.words).toContain(`is cut short: ${shown(FREE)} to ${shown(addDays(MARKET, -1))}, 2 days`)
    expect(await valley.db.selectFrom('marketWeek').selectAll().execute()).toEqual([])
    // Other figures than those looked at are looked at anew.
    const other = await chair.send(look, { daysInWeek: '4' })
    expect(other.words).toContain('What becomes of the weeks')
    expect(await valley.db.selectFrom('marketWeek').selectAll().execute()).toEqual([])
    const settled = await chair.send(look, {})
    expect(settled.words).toContain(`from ${shown(MARKET)} on, ${days} days from one market day to the next`)
    const group = await chair.fill('/works/group', { firstWeekday: '3' })
    expect(group.words).toContain('Let the weeks begin on another day from a day to come')
  })

  it('is taken back until a week of it, or the one cut short for it, is published', async () => {
    const { chair, db } = await marketValley(days)
    const door = await takeBackDoor(chair)
    const look = await chair.open(door!)
    expect(look.words).toContain('Monday 30 November to Sunday 6 December: 7 days')
    expect(look.words).not.toContain('is cut short')
    expect((await chair.send(look, { reason: '' })).status).toBe(422)
    const back = await chair.send(look, { reason: 'The market was moved.' })
    expect([back.status, back.words.includes('None. The weeks have seven days.')]).toEqual([200, true])
    expect((await currentGroup(db))!.marketWeeks).toEqual([])
    expect((await chair.open(`/turns/weeks/${FREE}`)).words).toContain(shown('2026-12-06'))

    // Were it taken back now, the days from the market to Sunday would be in no week.
    const again = await marketValley(days)
    const late = await again.chair.open((await takeBackDoor(again.chair))!)
    await publish(again.chair, FREE)
    expect(await takeBackDoor(again.chair)).toBeUndefined()
    const refused = await again.chair.send(late, { reason: 'Too late.' })
    expect([refused.status, refused.words.includes('they stay')]).toEqual([409, true])
    expect((await currentGroup(again.db))!.marketWeeks).toHaveLength(1)
  })

  it('goes through requests, draft, publication, sheet, slips, log and fairness with the same days on every page', async () => {
    const { db, chair: before, setNow, signIn } = await marketValley(days)
    await publish(before, FREE)
    const form = await before.open('/turns/ask')
    const wished = await before.send(form, {
      weekStartOn: MARKET,
      plotId: optionValue(form, 'plotId', '1 '),
      volume: '1',
      wishedDay: optionValue(form, 'wishedDay', '2nd day after market'),
    })
    expect(wished.words).toContain('2nd day after market')
    setNow(`${MARKET}T05:00:00Z`)
    const chair = await signIn('amaru')
    const published = await publish(chair, MARKET)
    expect(published.words).toContain('Published')

    const starts = await publishedStarts(db)
    const weeks = await Promise.all(starts.map(async (start) => (await findPublishedWeek(db, start))!))
    const held = weeks.flatMap(({ inputs }) => inputs.days)
    expect(held).toEqual(datesFromTo(held[0]!, end))
    const { inputs, results } = weeks.at(-1)!
    expect(inputs.days).toEqual(datesFromTo(MARKET, end))
    expect(inputs.turnFacts!.wishedHours!.map(({ on }) => on)).toEqual([addDays(MARKET, 2)])
    expect(results.turns.length).toBeGreaterThan(0)
    expect(results.turns.filter(({ on }) => !inputs.days.includes(on))).toEqual([])
    // What people drink is what they drink a day, times the days; the week before had two.
    const short = weeks.at(-2)!.inputs
    expect(short.days).toHaveLength(2)
    for (const { id, drinkingM3 } of inputs.weirs)
      expect(drinkingM3 / days).toBeCloseTo(short.weirs.find((one) => one.id === id)!.drinkingM3 / 2, 9)
    const givenM3 =
      sum(results.shares, ({ allocatedM3 }) => allocatedM3) + sum(results.drinking, (one) => one.allocatedM3)
    const mayM3 = sum(inputs.weirs, ({ releasableM3 }) => releasableM3)
    expect(givenM3 + sum(Object.values(results.leftM3ByWeir))).toBeLessThanOrEqual(mayM3 + 0.01)
    const unplacedM3 = sum(results.unplaced, ({ volumeM3 }) => volumeM3)
    const turnsM3 = sum(results.turns, ({ volumeM3 }) => volumeM3)
    expect(turnsM3 + unplacedM3).toBeCloseTo(
      sum(results.shares, ({ allocatedM3 }) => allocatedM3),
      1,
    )

    const span = [shown(MARKET), shown(end)]
    const pages = [
      `/turns/weeks/${MARKET}`,
      `/turns/weeks/${MARKET}/sheet`,
      '/turns',
      '/turns/asked',
      '/crops',
      `/log/working/pumps?week=${end}`,
      `/money/agree?period=week&on=${end}`,
      ...datesFromTo(MARKET, end).map((on) => `/log/days/${on}`),
    ]
    for (const path of pages) {
      const page = await chair.open(path)
      expect([page.status, ...span.map((date) => page.words.includes(date))], path).toEqual([200, true, true])
    }
    expect((await chair.open('/crops')).html.querySelector(`a[href="/crops?week=${next}"]`)).not.toBeNull()
    expect((await chair.open('/crops')).html.querySelector(`a[href="/crops?week=${FREE}"]`)).not.toBeNull()
    expect((await chair.open(`/turns/weeks/${addDays(MARKET, 1)}`)).status).toBe(404)
    for (const on of datesFromTo(MARKET, end)) {
      const own = results.turns.filter((turn) => turn.on === on)
      if (own.length === 0) continue
      const slips = await chair.open(`/turns/weeks/${MARKET}/slips/${on}`)
      expect([slips.status, slips.words.includes(longDay(on))], on).toEqual([200, true])
    }

    // Everything that was due is carried over: the week is over, and one turn of it is in the log.
    const turn = results.turns.toSorted((a, b) => (a.on < b.on ? -1 : 1))[0]!
    setNow(`${next}T05:00:00Z`)
    const later = await signIn('amaru')
    const asked = { group: (await currentGroup(db))!, weekStartOn: next, today: next }
    const coming = (await shownWeek(db, answers.rotation, asked))!.inputs
    expect(coming.days).toEqual(datesFromTo(next, addDays(next, days - 1)))
    expect(coming.pastWeeks.map(({ weekStartOn }) => weekStartOn).slice(-2)).toEqual([FREE, MARKET])
    for (const { plotId, weekEntitledM3 } of results.shares) {
      const entitledM3 = coming.pastWeeks.at(-1)!.entitledM3[plotId]!
      expect(entitledM3).toBeCloseTo(weekEntitledM3, 9)
      const ownM3 = sum(
        results.turns.filter((one) => one.plotId === plotId),
        ({ volumeM3 }) => volumeM3,
      )
      // Nobody has written a word of these turns yet, so each counts as taken, and in this week alone.
      expect(coming.receivedM3[plotId]! - (inputs.receivedM3[plotId] ?? 0)).toBeCloseTo(ownM3, 6)
    }
    const draft = await later.open(`/turns/weeks/${next}`)
    expect([draft.status, draft.words.includes(shown(addDays(next, days - 1)))]).toEqual([200, true])
    const fairness = await later.open('/turns/fair')
    expect(fairness.status).toBe(200)
    // The outlook's lines are the first mornings of the group's weeks, and its weekly volume is for one of them.
    const outlook = await later.open('/water/lasts')
    expect(outlook.words).toContain(shown(addDays(next, days)))
    const record = await later.open(`/turns/plots/${turn.plotId}`)
    for (const { on } of results.turns.filter(({ plotId }) => plotId === turn.plotId))
      expect(record.words).toContain(longDay(on))
    for (const path of ['/crops/season', '/']) expect((await later.open(path)).status, path).toBe(200)
    expect((await (await signIn('dovi')).open('/')).status).toBe(200)
  })
})

it('does not cut a week that another device had published when the books were joined', async () => {
  const { db, signIn } = await openValley()
  const chair = await signIn('amaru')
  await publish(chair, FREE)
  const { entryId: writtenBy } = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  await db.transaction().execute(async (trx) => {
    const pen = { trx, writtenBy, writtenAt: '2026-11-25T10:00:00.000Z' }
    await setMarketWeek(pen, { fromOn: MARKET, daysInWeek: 5 })
  })
  expect((await currentGroup(db))!.marketWeeks).toEqual([])
  expect((await chair.open('/people/market-weeks')).words).toContain(`The 5 days from ${shown(MARKET)} on do not hold`)
  expect((await chair.open(`/log/days/${addDays(MARKET, 2)}`)).words).toContain(shown('2026-12-06'))
})
