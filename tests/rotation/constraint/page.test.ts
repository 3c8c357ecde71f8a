import { beforeAll, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import type { Pen } from '../../../server/book/entries.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { listPlots, setHolders } from '../../../server/people/plot/store.ts'
import { addNoTurnHours, strikeNoTurnHours } from '../../../server/rotation/constraint/hours-store.ts'
import { weekInputs } from '../../../server/rotation/draft/inputs.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const NEXT = '2026-11-30'
const THIS = '2026-11-23'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
let pumpId: string
beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
  pumpId = (await valley.db.selectFrom('pump').select('entryId').orderBy('number').executeTakeFirstOrThrow()).entryId
})

const inputs = async () =>
  (await weekInputs(valley.db, answers.rotation, {
    group: (await currentGroup(valley.db))!,
    weekStartOn: NEXT,
    today: VALLEY_TODAY,
  }))!
const factsOf = async () => (await inputs()).turnFacts!.pumps.find((one) => one.pumpId === pumpId)!

describe('the expected flow', () => {
  it('goes by the sky that the committee expects: a dull day brings 0.45 of a clear one', async () => {
    const before = await factsOf()
    await chair.fill(`/turns/settle/sky/${NEXT}`, { '2026-12-02': 'dull', '2026-12-03': 'half' })
    const after = await factsOf()
    expect(after.skyByDay['2026-12-02']).toBe('dull')
    expect(after.dayM3ByDay['2026-12-02']! / before.dayM3ByDay['2026-12-02']!).toBeCloseTo(0.45, 6)
    expect(after.dayM3ByDay['2026-12-03']! / before.dayM3ByDay['2026-12-03']!).toBeCloseTo(0.7, 6)
    expect(after.dayM3ByDay['2026-12-01']).toBe(before.dayM3ByDay['2026-12-01'])
    const page = await chair.open(`/turns/weeks/${NEXT}`)
    expect(page.words).toContain('5 days clear, 1 day half, 1 day dull')
    expect((await chair.open(`/turns/working/pump/${NEXT}/${pumpId}`)).words).toContain('by its description')
  })

  it('may not be spoken of once the week is published, whose page opens instead, and shows a bad word again', async () => {
    const agreed = await chair.agent.get(`/turns/settle/sky/${THIS}`)
    expect([agreed.status, agreed.headers.location]).toEqual([303, `/turns/weeks/${THIS}`])
    const draft = (await chair.open(`/turns/settle/sky/${NEXT}`)).html.querySelectorAll('main form [name]')
    const typed = Object.fromEntries(draft.map((one) => [one.getAttribute('name'), one.getAttribute('value') ?? '']))
    expect((await chair.agent.post(`/turns/settle/sky/${THIS}`).type('form').send(typed)).status).toBe(409)
    const bad = await chair.fill(`/turns/settle/sky/${NEXT}`, { '2026-12-02': 'pink' })
    expect(bad.status).toBe(422)
    expect(bad.words).toContain('Choose one from the list')
  })

  it('loses the morning when the mount is stuck', async () => {
    const flows = async () => (await inputs()).pumps.find((pump) => pump.id === pumpId)!.flowM3PerHByDay['2026-12-01']!
    const before = await flows()
    await chair.fill(`/works/settle/panels/${pumpId}`, { mount: 'stuck', fromOn: NEXT })
    const after = await flows()
    expect(after[9]!).toBeLessThan(before[9]! / 2)
    expect((await factsOf()).mount).toBe('stuck')
    await chair.fill(`/works/settle/panels/${pumpId}`, { mount: 'fixed', fromOn: NEXT })
    expect(await flows()).toEqual(before)
  })

  it('goes by the pump’s own log once three whole days of a sky stand in it', async () => {
    const days = await valley.db
      .selectFrom('abstraction')
      .select(({ fn }) => ['onDate', fn.sum<number>('volumeM3').as('volumeM3')])
      .where('pumpId', '=', pumpId)
      .where('onDate', '>=', '2026-11-01')
      .groupBy('onDate')
      .orderBy('onDate')
      .limit(3)
      .execute()
    const log = (at: number, wholeDay: boolean) =>
      chair.fill(`/works/settle/sky/${pumpId}`, {
        onDate: days[at]!.onDate,
        sky: 'clear',
        ...(wholeDay ? { wholeDay: 'yes' } : {}),
      })
    for (const at of [0, 1]) await log(at, true)
    await log(2, false)
    const november = async () => {
      const group = (await currentGroup(valley.db))!
      const start = '2026-11-23' // a week of November; read anew, not as it was published
      const read = (await weekInputs(valley.db, answers.rotation, { group, weekStartOn: start, today: VALLEY_TODAY }))!
      return read.turnFacts!.pumps.find((one) => one.pumpId === pumpId)!
    }
    expect((await november()).loggedDays).toEqual({})
    await log(2, true)
    const facts = await november()
    expect(facts.loggedDays).toEqual({ clear: 3 })
    const meanM3 = days.reduce((sum, day) => sum + day.volumeM3, 0) / 3
    expect(facts.dayM3ByDay['2026-11-24']).toBeCloseTo(meanM3, 6)
    expect((await chair.open('/works')).words).toContain('3 clear, 0 half, 0 dull')
    const future = await chair.fill(`/works/settle/sky/${pumpId}`, { onDate: '2026-12-25', sky: 'clear' })
    expect(future.html.querySelector('#onDate-error')!.text).toContain('still to come')
  })
})

describe('people’s hours and lines', () => {
  it('keeps turns clear of the hours of either of two holders, on the days of the week from their first to their last', async () => {
    const plot = (await inputs()).plots[0]!
    const persons = await valley.db.selectFrom('person').select('entryId').orderBy('number').execute()
    const [one, other] = persons.slice(-2).map(({ entryId }) => entryId) as [string, string]
    const pen = (trx: Pen['trx']) => ({
      trx,
      writtenBy: persons[0]!.entryId,
      writtenAt: `${VALLEY_TODAY}T06:00:00.000Z`,
    })
    const before = (await listPlots(valley.db, VALLEY_TODAY))
      .find(({ id }) => id === plot.id)!
      .holders.map(({ id }) => id)
    await valley.db.transaction().execute((trx) => setHolders(pen(trx), plot.id, [one, other], VALLEY_TODAY))
    // Tuesday of that week is the first of December.
    const spans = [
      ['that day alone', '2026-12-01', '2026-12-01'],
      ['from the next day', '2026-12-02', null],
      ['until the day before', '2026-11-01', '2026-11-30'],
    ] as const
    const hours = { personId: other, weekday: 2, marketDay: null, fromHour: 6, toHour: 9 } as const
    const written: string[] = []
    for (const [words, fromOn, untilOn] of spans)
      written.push(
        await valley.db.transaction().execute((trx) => addNoTurnHours(pen(trx), { ...hours, words, fromOn, untilOn })),
      )
    const own = (await inputs()).turnFacts!.noTurnHours.filter(({ plotId }) => plotId === plot.id)
    expect(own).toEqual([{ plotId: plot.id, on: '2026-12-01', fromHour: 6, toHour: 9, words: 'that day alone' }])
    for (const id of written)
      await valley.db.transaction().execute((trx) => strikeNoTurnHours(pen(trx), id, 'term over'))
    await valley.db.transaction().execute((trx) => setHolders(pen(trx), plot.id, before, VALLEY_TODAY))
  })

  it('keeps turns clear of the hours that a holder named, until they end', async () => {
    const week = await inputs()
    const plot = week.plots[0]!
    const form = await chair.open('/people/settle/hours')
    const personId = optionValue(form, 'personId', plot.holders[0]!)
    const page = await chair.send(form, {
      personId,
      weekday: '2',
      fromTime: '06:00',
      toTime: '12:30',
      words: 'school run',
    })
    expect(page.words).toContain('Tuesday, 06:00–12:30: school run')
    const hours = (await inputs()).turnFacts!.noTurnHours.filter((one) => one.plotId === plot.id)
    expect(hours).toEqual([{ plotId: plot.id, on: '2026-12-01', fromHour: 6, toHour: 12.5, words: 'school run' }])
    await chair.fill(page.html.querySelector('a[href^="/people/settle/hours/"]')!.getAttribute('href')!, {
      reason: 'term over',
    })
    expect((await inputs()).turnFacts!.noTurnHours).toEqual([])
    const backwards = await chair.fill('/people/settle/hours', {
      fromTime: '18:00',
      toTime: '06:00',
      words: 'night',
    })
    expect(backwards.html.querySelector('#toTime-error')!.text).toContain('written as two')
  })

  it('knows places on the line, filling minutes and outlets that must not meet', async () => {
    const week = await inputs()
    const [plot, a, b] = [week.plots[0]!, week.outlets[0]!, week.outlets[1]!]
    await chair.fill('/works/settle/place-on-line', { plotId: plot.id, position: '4' })
    await chair.fill('/works/settle/filling', { outletId: a.id, minutes: '15' })
    await chair.fill('/works/settle/pair', { outletA: a.id, outletB: b.id })
    const facts = (await inputs()).turnFacts!
    expect(facts.linePositions[plot.id]).toBe(4)
    expect(facts.fillingMinutes).toEqual({ [a.id]: 15 })
    expect(facts.notTogether).toEqual([[a.id, b.id]])
    await chair.fill('/works/settle/pair', { outletA: b.id, outletB: a.id, together: 'yes' })
    expect((await inputs()).turnFacts!.notTogether).toEqual([])
    expect((await chair.fill('/works/settle/pair', { outletA: a.id, outletB: a.id })).status).toBe(422)
  })
})

describe('is it fair', () => {
  it('shows every plot, the weirs and the holder groups with the published bands', async () => {
    const form = await chair.open('/people/settle/groups')
    const page = await chair.send(form, { personId: optionValue(form, 'personId', 'Hila'), names: 'tenants, women' })
    expect(page.path).toBe('/turns/fair')
    expect(page.words).toContain('tenants')
    expect(page.words).toMatch(/Adequacy.*(good|fair|poor) good from 90 %/)
    expect(page.words).toContain('no clear difference')
  })

  it('adds a plot’s weeks up to the figures of the page', async () => {
    const plot = (await inputs()).plots[0]!
    const working = await chair.open(`/turns/working/fair/${plot.id}`)
    const [received, entitled] = /([\d.]+) m³ received of ([\d.]+) m³ due/.exec(working.words)!.slice(1).map(Number)
    const sums = [...working.text.matchAll(/([\d.]+) m³ of ([\d.]+) m³/g)].reduce(
      ([r, e], match) => [r! + Number(match[1]), e! + Number(match[2])],
      [0, 0],
    )
    expect(Math.abs(sums[0]! - received!)).toBeLessThan(1)
    expect(Math.abs(sums[1]! - entitled!)).toBeLessThan(1)
    const drawn = await valley.db
      .selectFrom('abstraction')
      .select(({ fn }) => fn.sum<number>('volumeM3').as('volumeM3'))
      .where('plotId', '=', plot.id)
      .where('onDate', '<', '2026-11-23')
      .executeTakeFirstOrThrow()
    // Agreed turns that nobody has typed in yet count as drawn.
    const untyped = await valley.db
      .selectFrom('turn')
      .select(({ fn }) => fn.sum<number>('volumeM3').as('volumeM3'))
      .where('plotId', '=', plot.id)
      .where('onDate', '<', '2026-11-23')
      .where('id', 'not in', (eb) => eb.selectFrom('abstraction').select('turnId').where('turnId', 'is not', null))
      .where('id', 'not in', (eb) => eb.selectFrom('turnOutcome').select('turnId'))
      .executeTakeFirstOrThrow()
    expect(Math.abs(drawn.volumeM3 + untyped.volumeM3 - received!)).toBeLessThan(0.051)
  })

  it('counts the hard hours of the published weeks', async () => {
    const rows = await valley.db.selectFrom('publishedWeek').select('results').execute()
    const turns = rows.flatMap((row) => JSON.parse(row.results).turns as { plotId: string; burdens: string[] }[])
    const plot = (await inputs()).plots[0]!
    const noon = turns.filter((turn) => turn.plotId === plot.id && turn.burdens.includes('noon')).length
    const page = await chair.open('/turns/fair')
    const row = page.html
      .querySelectorAll('table')
      .at(-1)!
      .querySelectorAll('tbody tr')
      .find((one) => one.querySelector('th')!.text.trim().startsWith(`${plot.number} `))!
    expect(Number(row.querySelectorAll('td')[1]!.text)).toBe(noon)
  })
})

it('tells the days without turns that are to come, with their words and the pump that stands', async () => {
  const pump = await valley.db
    .selectFrom('pump')
    .select(['entryId', 'number', 'name'])
    .orderBy('number', 'desc')
    .executeTakeFirstOrThrow()
  await chair.fill('/turns/settle/no-turn-day', {
    onDate: '2026-12-09',
    words: 'the well is cleaned',
    pumpId: pump.entryId,
  })
  await chair.fill('/turns/settle/no-turn-day', { onDate: '2026-12-10', words: 'mourning' })
  const listed = async () =>
    (await (await valley.signIn('amaru')).open('/works')).html
      .querySelectorAll('#without-turns ~ ul.notes li')
      .map(({ text }) => text.replace(/\s+/g, ' ').trim())
  const [one, all] = (await listed()).filter((line) => /(9|10) December/.test(line))
  expect(one).toContain(`Wednesday 9 December, Pump ${pump.number}, ${pump.name}: the well is cleaned`)
  expect(all).toBe('Thursday 10 December: mourning')
  valley.setNow('2026-12-10T08:00:00Z')
  expect((await listed()).filter((line) => /(9|10) December/.test(line))).toEqual([all])
})
