import { beforeAll, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { listPlots } from '../../../server/people/plot/store.ts'
import { customRefusal } from '../../../server/rotation/custom-refusal.ts'
import { weekInputs } from '../../../server/rotation/draft/inputs.ts'
import { makeFormat } from '../../../server/web/figures/format.ts'
import { loadLocale } from '../../../server/web/figures/locale.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

/** A Wednesday, from which on the weeks follow a market of five days. */
const MARKET = '2026-12-02'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
  const look = await chair.fill('/people/settle/market-week', { fromOn: MARKET, daysInWeek: '5' })
  await chair.send(look, {})
})

const keepFree = (fields: Record<string, string>) => chair.fill('/turns/settle/custom', fields)
async function inputsOf(weekStartOn: string) {
  const group = (await currentGroup(valley.db))!
  return (await weekInputs(valley.db, answers.rotation, { group, weekStartOn, today: VALLEY_TODAY }))!
}

describe('what is without turns by custom', () => {
  it('is a rest day that comes round with the market week', async () => {
    const page = await keepFree({ cause: 'rest', day: 'm2', words: 'the sand rests', fromOn: MARKET })
    expect(page.words).toContain('Rest (everybody), 1st day after market: the sand rests, since 2 Dec 2026 end this')
    const days = async (start: string) => (await inputsOf(start)).closures.map(({ on, words }) => `${on} ${words}`)
    expect(await days(MARKET)).toContain('2026-12-03 the sand rests')
    // Five days later, counted by hand, and not on the same weekday.
    expect(await days('2026-12-07')).toContain('2026-12-08 the sand rests')
  })

  it('is an hour of prayer for every plot, and days of mourning for the plots of one household alone', async () => {
    const prayer = await keepFree({ cause: 'prayer', fromTime: '12:00', toTime: '13:00', words: 'noon prayer' })
    expect(prayer.words).toContain(
      'Prayer (everybody), every day, 12:00–13:00: noon prayer, since 25 Nov 2026 end this',
    )
    const form = await chair.open('/turns/settle/custom')
    const personId = optionValue(form, 'personId', 'Hila')
    const mourning = { cause: 'mourning', personId, words: 'a burial', fromOn: '2026-12-03', untilOn: '2026-12-04' }
    expect((await chair.send(form, mourning)).words).toContain('Mourning (household of Hila Quarm)')
    const { plots, turnFacts } = await inputsOf(MARKET)
    const hours = turnFacts!.noTurnHours
    const prayers = hours.filter(({ words }) => words === 'noon prayer')
    expect(prayers).toHaveLength(plots.length * 5)
    const kept = hours.filter(({ words }) => words === 'a burial')
    const named = kept.map(({ plotId }) => plots.find(({ id }) => id === plotId)!.holders.join())
    expect(named.length).toBeGreaterThan(0)
    expect(named.every((holders) => holders.includes('Hila'))).toBe(true)
    expect([...new Set(kept.map(({ on }) => on))]).toEqual(['2026-12-03', '2026-12-04'])
  })

  it('never stops every turn without an end, and ends with a reason', async () => {
    expect((await keepFree({ cause: 'other', words: 'all of it' })).words).toContain('would stop all turns')
    const grounds = await chair.open('/works')
    const line = grounds.html.querySelectorAll('li').find(({ text }) => text.includes('the sand rests'))!
    const door = line.querySelector('a[href^="/turns/settle/custom/"]')!.getAttribute('href')!
    const page = await chair.fill(door, { reason: 'the meeting said so' })
    expect(page.path).toBe('/works')
    expect(page.words).not.toContain('the sand rests')
  })
})

describe('a day or an hour without turns by custom', () => {
  const on = '2026-11-27'
  const refused =
    'Friday 27 November is without turns: Mourning (household of Hila Quarm): a burial. Choose another day.'
  let hila: Visitor
  beforeAll(async () => {
    valley = await openValley()
    chair = await valley.signIn('amaru')
    hila = await valley.signIn('hila')
    const form = await chair.open('/turns/settle/custom')
    const personId = optionValue(form, 'personId', 'Hila')
    await chair.send(form, { cause: 'mourning', personId, words: 'a burial', fromOn: on, untilOn: '2026-12-04' })
    await keepFree({ cause: 'prayer', fromTime: '12:00', toTime: '13:00', words: 'noon prayer' })
  })

  it('is refused in its own words to whoever wishes for it, and another day is taken', async () => {
    const form = await hila.open('/turns/ask')
    const asked = { plotId: optionValue(form, 'plotId', 'Hila'), weekStartOn: '2026-11-30', volume: '3' }
    const again = await hila.send(form, { ...asked, wishedDay: '3' })
    expect(again.status).toBe(422)
    expect(again.words).toContain(
      'Wednesday 2 December is without turns: Mourning (household of Hila Quarm): a burial.',
    )
    expect((await hila.send(again, { ...asked, wishedDay: '6' })).path).toBe('/turns/asked')
    const noon = { wishedDay: '6', wishedFrom: '12:00', wishedTo: '13:00' }
    const other = await hila.send(await hila.open('/turns/ask'), { ...asked, ...noon })
    expect(other.words).toContain(
      'is without turns: Prayer (everybody), 12:00 to 13:00: noon prayer. Choose another hour.',
    )
  })

  it('is refused to whoever books it', async () => {
    const form = await hila.open('/turns/ask?as=free')
    const own = { plotId: optionValue(form, 'plotId', 'Hila'), outletId: optionValue(form, 'outletId', '8') }
    expect((await hila.send(form, { ...own, onDate: on, start: '14:00', volume: '0.5' })).words).toContain(refused)
    const noon = { ...own, onDate: '2026-11-26', start: '12:30', volume: '1' }
    expect((await hila.send(form, noon)).words).toContain('Prayer (everybody), 12:00 to 13:00: noon prayer.')
  })

  it('is refused to a turn that the committee adds for the household, and not to one of others', async () => {
    const form = await chair.open('/turns/weeks/2026-11-23/change?as=add')
    const add = (plot: string, outlet: string, when: Record<string, string>) =>
      chair.send(form, {
        ...when,
        plotId: optionValue(form, 'plotId', plot),
        outletId: optionValue(form, 'outletId', outlet),
        reason: 'asked at the weir',
      })
    expect((await add('Hila', '8 line', { onDate: on, start: '14:00', volume: '0.5' })).words).toContain(refused)
    const other = await add('9 ', '9 line', { onDate: on, start: '14:00', volume: '0.5' })
    expect(other.words).not.toContain('is without turns')
  })

  it('meets a turn that runs into its hours, and none that ends before or begins after', async () => {
    const { db } = valley
    const group = (await currentGroup(db))!
    const plot = (await listPlots(db, on)).find(({ number }) => number === 9)!
    const format = makeFormat('en', 'UTC', { canLitres: 20, calendar: null, months: {} })
    const asked = (startMinute: number, endMinute: number) =>
      customRefusal({ db, group, format, t: loadLocale('en').t }, plot, { on, startMinute, endMinute })
    expect(await asked(11 * 60, 12 * 60)).toBeNull()
    expect((await asked(11 * 60, 12 * 60 + 5))?.values).toMatchObject({ words: 'noon prayer', from: '12:00' })
    expect(await asked(13 * 60, 14 * 60)).toBeNull()
  })
})

describe('days and hours without turns', () => {
  const DOORS = ['/turns/settle/no-turn-day', '/turns/settle/custom', '/people/settle/hours', '/water/stream/share']
  const doorsOf = async (who: Visitor) => {
    const { html } = await who.open('/works')
    return html
      .querySelectorAll('#without-turns ~ ul.no-print:not(.doors) li')
      .map((door) => [door.querySelector('a')!.getAttribute('href'), /\w{4}.*\.$/.test(door.text.trim())])
  }

  it('are found under one heading from the week, each door with the line that says when to use it', async () => {
    const week = await chair.open('/turns')
    expect(week.html.querySelector('a[href="/works#without-turns"]')?.text).toBe('Days and hours without turns')
    expect(week.html.querySelector('a[href="/turns/settle/no-turn-day"]')).toBeNull()
    expect(await doorsOf(chair)).toEqual(DOORS.map((href) => [href, true]))
    expect(await doorsOf(await valley.signIn('hila'))).toEqual([['/people/settle/hours', true]])
  })
})
