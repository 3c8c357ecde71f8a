import { beforeAll, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { weekInputs } from '../../../server/rotation/draft/inputs.ts'
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

describe('what is kept free by custom', () => {
  it('is a rest day that comes round with the market week', async () => {
    const page = await keepFree({ cause: 'rest', day: 'm2', words: 'the sand rests', fromOn: MARKET })
    expect(page.words).toContain('Rest (everybody), 1st day after market, 00:00–24:00: the sand rests.')
    const days = async (start: string) => (await inputsOf(start)).closures.map(({ on, words }) => `${on} ${words}`)
    expect(await days(MARKET)).toContain('2026-12-03 the sand rests')
    // Five days later, counted by hand, and not on the same weekday.
    expect(await days('2026-12-07')).toContain('2026-12-08 the sand rests')
  })

  it('is an hour of prayer for every plot, and days of mourning for the plots of one household alone', async () => {
    await keepFree({ cause: 'prayer', fromTime: '12:00', toTime: '13:00', words: 'noon prayer' })
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
