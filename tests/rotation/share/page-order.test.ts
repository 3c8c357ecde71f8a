import { beforeAll, describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import type { Seen, Visitor } from '../../support/visitor.ts'

const DRAFT = '/turns/weeks/2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

/** The reason page of each plot that a week's table names. */
async function reasonsOf(week: Seen): Promise<Seen[]> {
  const links = week.html.querySelectorAll('th a').map((link) => link.getAttribute('href')!)
  const ofPlots = links.filter((href) => href.startsWith('/turns/working/why/'))
  return Promise.all([...new Set(ofPlots)].map((href) => chair.open(href)))
}

describe('the order in which the water is given, told with the reason', () => {
  it('says of a protected plot that it is served whatever its level, and of no other', async () => {
    const reasons = await reasonsOf(await chair.open(DRAFT))
    const guarded = reasons.filter(({ words }) => words.includes('It is on the protected list'))
    expect(guarded.map(({ words }) => words.slice(0, 11))).toEqual(['Why plot 40'])
    expect(guarded[0]!.words).not.toContain('raised alike for all')
    const other = reasons.find(({ words }) => words.startsWith('Why plot 11,'))!
    expect(other.words).toContain('raised alike for all, the lowest first. That holds within a kind of crop; its kind:')
  })

  it('adds the shown figures to the shown sum, for every plot of the season’s last weeks', async () => {
    const weeks = await valley.db
      .selectFrom('publishedWeek')
      .select('weekStartOn')
      .orderBy('weekStartOn', 'desc')
      .execute()
    let seen = 0
    for (const { weekStartOn } of weeks.slice(0, 3)) {
      for (const { words } of await reasonsOf(await chair.open(`/turns/weeks/${weekStartOn}`))) {
        const figures = /([\d.,]+) m³ received so far and ([\d.,]+) m³ this week make ([\d.,]+) m³/.exec(words)
        if (!figures) continue
        const [received, given, sum] = figures
          .slice(1)
          .map((figure) => Math.round(Number(figure.replaceAll(',', '')) * 10))
        expect(received! + given!, words).toBe(sum)
        seen += 1
      }
    }
    expect(seen).toBeGreaterThan(60)
  })

  it('shows the water of each weir so that its columns add up', async () => {
    const week = await chair.open('/turns/weeks/2026-11-23')
    const heads = [...week.html.querySelectorAll('table')].find(({ text }) => text.includes('Kept free'))!
    const figure = (row: typeof heads, label: string) =>
      Number(row.querySelector(`td[data-label="${label}"]`)!.text.replaceAll(',', ''))
    const frozen = await valley.db
      .selectFrom('publishedWeek')
      .selectAll()
      .where('weekStartOn', '=', '2026-11-23')
      .executeTakeFirstOrThrow()
    const { inputs, results } = { inputs: JSON.parse(frozen.inputs), results: JSON.parse(frozen.results) }
    const rows = heads.querySelectorAll('tbody tr')
    expect(rows).toHaveLength(inputs.weirs.length)
    for (const [at, row] of rows.entries()) {
      const outlets = inputs.outlets.filter((one: { pumpId: string }) =>
        inputs.pumps.some(
          (pump: { id: string; weirId: string }) => pump.id === one.pumpId && pump.weirId === inputs.weirs[at].id,
        ),
      )
      const turnsM3 = results.turns
        .filter((turn: { outletId: string }) => outlets.some((one: { id: string }) => one.id === turn.outletId))
        .reduce((sum: number, turn: { volumeM3: number }) => sum + turn.volumeM3, 0)
      const told = figure(row, 'of it to drink') + figure(row, 'Kept free') + figure(row, 'Not used') + turnsM3
      expect(Math.abs(told - figure(row, 'For this week'))).toBeLessThan(2.1) // Four figures without decimals.
    }
  })

  it('names the rule that the committee picked for the week, not the level', async () => {
    await chair.fill(`${DRAFT}/compare`, { rule: 'proportional', reason: 'All have sown late.' })
    const week = await chair.open(DRAFT)
    expect(week.words).toContain(
      'every request, or need where nobody asked, is cut by the same part; the level does not count',
    )
    expect(week.words).not.toContain('goes first to whoever has the lowest level')
    for (const { words } of await reasonsOf(week)) {
      expect(words).not.toContain('lowest first')
      expect(words).not.toContain('Megiddo')
    }
  })
})
