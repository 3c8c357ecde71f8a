import { beforeEach, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { holdFromToday, openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Seen, type Visitor } from '../../support/visitor.ts'

const NEXT = '2026-11-30'
const LOOK = `/turns/weeks/${NEXT}/publish`

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

async function draft() {
  const group = (await currentGroup(valley.db))!
  return (await shownWeek(valley.db, answers.rotation, { group, weekStartOn: NEXT, today: VALLEY_TODAY }))!
}

/** The lines under the heading that has these words; none where the heading is not there. */
function linesUnder(page: Seen, words: string): string[] {
  const heading = page.html.querySelectorAll('main h2').find(({ text }) => text.includes(words))
  const list = heading?.nextElementSibling
  return (list?.querySelectorAll('li') ?? []).map(({ text }) => text.replace(/\s+/g, ' ').trim())
}

describe('the last look before a week is published', () => {
  it('says nothing of wishes and changes where there are none', async () => {
    const look = await chair.open(LOOK)
    expect(linesUnder(look, 'not met')).toEqual([])
    expect(linesUnder(look, 'by hand')).toEqual([])
  })

  it('names each weir whose level is older than a week, with the way to read it, until it is read', async () => {
    const old = async () => (await chair.open(LOOK)).html.querySelectorAll('main a[href^="/water/levels/new"]')
    expect(await old()).toEqual([])
    valley.setNow('2026-11-27T12:00:00Z')
    chair = await valley.signIn('amaru')
    const lines = await old()
    expect(lines.map(({ text }) => text.replace(/, .*: /, ': '))).toEqual(
      [1, 2, 3, 4].map((number) => expect.stringMatching(new RegExp(`^\\s*Weir ${number}: 8 days old\\s*$`))),
    )
    const [first] = lines
    await chair.fill(first!.getAttribute('href')!, {
      readAt: '06:00',
      depth: '130',
      readerId: optionValue(await chair.open('/water/levels/new'), 'readerId', 'Amaru'),
    })
    expect(await old()).toHaveLength(3)
  })

  it('names whose wish is not met and when the turn comes, and not whose is', async () => {
    const { results, inputs } = await draft()
    const hila = inputs.plots.find(
      ({ id, holders }) => holders.includes('Hila Quarm') && results.turns.some((turn) => turn.plotId === id),
    )!
    const ask = async (wishedFrom: string, wishedTo: string) => {
      const form = await chair.open('/turns/ask')
      await chair.send(form, {
        plotId: optionValue(form, 'plotId', `${hila.number} `),
        weekStartOn: NEXT,
        wishedFrom,
        wishedTo,
      })
    }
    await ask('02:00', '03:00')
    const [line, ...more] = linesUnder(await chair.open(LOOK), 'not met')
    expect(more).toEqual([])
    expect(line).toContain('Hila Quarm')
    expect(line).toContain('wished any day 02:00 to 03:00')
    const first = (await draft()).results.turns
      .filter(({ plotId }) => plotId === hila.id)
      .sort((a, b) => a.on.localeCompare(b.on))[0]!
    const clock = [Math.floor(first.startMinute / 60), first.startMinute % 60].map((part) =>
      String(part).padStart(2, '0'),
    )
    expect(line).toContain(clock.join(':'))
    await ask('00:00', '23:59')
    expect(linesUnder(await chair.open(LOOK), 'not met')).toEqual([])
  })

  it('names the changes by hand with how many names stand under each, an officer’s own aloud', async () => {
    const { inputs, results } = await draft()
    const officers = inputs.turnFacts!.officerPlotIds
    const turn = results.turns.find(({ plotId }) => officers.includes(plotId))!
    const plot = inputs.plots.find(({ id }) => id === turn.plotId)!
    await chair.fill(`/turns/weeks/${NEXT}/change?turn=${encodeURIComponent(turn.id)}`, {
      kind: 'drop',
      reason: 'no need after the rain',
    })
    const [one] = linesUnder(await chair.open(LOOK), 'change by hand')
    expect(one).toContain(`Plot ${plot.number}`)
    expect(one).toContain('no need after the rain')
    expect(one).toContain('it needs a second name')
    expect(one).toMatch(/1 name$/)
    const other = await valley.signIn('besi')
    const week = await other.open(`/turns/weeks/${NEXT}`)
    await other.send(
      week,
      {},
      week.html.querySelector('form[action^="/turns/names/by-hand/"]')!.getAttribute('action')!,
    )
    const [two] = linesUnder(await chair.open(LOOK), 'change by hand')
    expect(two).not.toContain('it needs a second name')
    expect(two).toMatch(/2 names$/)
  })

  it('names what a share is reckoned by and is not as in the last published week, whoever wrote it', async () => {
    // The tank of the third pump was joined since, with a second name under it.
    const joined = linesUnder(await chair.open(LOOK), 'last published week')
    expect(joined).toEqual([
      expect.stringMatching(/what an outlet gives: settled anew; written by Besi Okuru, second name: Goro Wenn/),
      expect.stringMatching(/the tank of an outlet: settled anew; written by Besi Okuru, second name: Goro Wenn/),
      expect.stringMatching(/the use of a tank: settled anew; written by Besi Okuru, second name: Goro Wenn/),
    ])
    const { inputs } = await draft()
    // A plot of a household that is not the chair's: nothing else stops one officer from writing it larger.
    const plot = inputs.plots.find(({ holders }) => holders.includes('Hila Quarm'))!
    const form = await chair.open(`/people/plots/${plot.id}/change`)
    await chair.send(form, { area: String(plot.areaM2 + 400), fromOn: VALLEY_TODAY })
    await chair.fill('/turns/settle/people-of-plot', { plotId: plot.id, persons: '9', fromOn: VALLEY_TODAY })
    const lines = linesUnder(await chair.open(LOOK), 'last published week')
    const figures = new Intl.NumberFormat('en')
    expect(lines).toEqual([
      expect.stringContaining(
        `Hila Quarmland: ${figures.format(plot.areaM2)} m² before, ${figures.format(plot.areaM2 + 400)} m² now`,
      ),
      expect.stringContaining('people who live from it: – before, 9 now'),
      ...joined,
    ])
    const other = await valley.signIn('besi')
    const toOthers = lines.map((line) => line.replace('You wrote this alone.', '').trim())
    expect(linesUnder(await other.open(LOOK), 'last published week')).toEqual(toOthers)
  })

  it('names a person with two turns at one hour', async () => {
    const { inputs, results } = await draft()
    const holdersOf = (id: string) => inputs.plots.find((plot) => plot.id === id)!.holders
    const pairs = results.turns.flatMap((first) =>
      results.turns
        .filter(
          ({ on, plotId, startMinute }) =>
            on === first.on &&
            plotId !== first.plotId &&
            startMinute >= first.startMinute &&
            startMinute < first.endMinute,
        )
        .map((second) => [first, second] as const),
    )
    const [first, second] = pairs.find(([a, b]) => [a, b].every(({ plotId }) => holdersOf(plotId).length === 1))!
    const [holder] = holdersOf(first.plotId)
    const before = linesUnder(await chair.open(LOOK), 'two turns at once').filter((line) => line.includes(holder!))
    expect(before).toEqual([])
    const form = await chair.open(`/people/plots/${second.plotId}/change?as=holders`)
    await holdFromToday(valley.db, second.plotId, [optionValue(form, 'holderIds', holder!)!])
    const after = linesUnder(await chair.open(LOOK), 'two turns at once').filter((line) => line.includes(holder!))
    const numbers = [first, second].map(({ plotId }) => inputs.plots.find(({ id }) => id === plotId)!.number)
    expect(after.length).toBeGreaterThan(0)
    for (const number of numbers) expect(after.join(' ')).toContain(`plot ${number} from`)
  })
})
