import { beforeAll, expect, it } from 'vitest'
import { listPlots } from '../../server/people/plot/store.ts'
import { REFUSED_THEN_TAKEN, refusedThenTaken, sentTooLate, sentUnasked, TOO_LATE } from '../laws/told.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { answersOf, type Fields, optionValue, type Visitor } from '../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
let amaru: Visitor
beforeAll(async () => {
  valley = await openValley()
  amaru = await valley.signIn('amaru')
})

const TODAY = VALLEY_TODAY
const YESTERDAY = '2026-11-24'

it.each<[address: string, wrong: Fields, words: string, right: Fields]>([
  [
    '/turns/settle/urgent',
    { perMonth: '3', fromOn: YESTERDAY },
    'The new number cannot begin in the past.',
    { fromOn: TODAY },
  ],
  [
    '/turns/settle/no-turn-day',
    { onDate: YESTERDAY, words: 'market' },
    'This day is over. Choose today or a later day.',
    { onDate: TODAY },
  ],
  [
    '/turns/settle/custom',
    { cause: '~Prayer', day: '~Friday', words: 'noon prayer', fromOn: YESTERDAY },
    'This day is over. Choose today or a later day.',
    { fromOn: TODAY },
  ],
  [
    '/turns/settle/custom',
    { cause: '~School', personId: '~Hila', day: '~Monday', words: 'teaches', fromOn: TODAY, untilOn: YESTERDAY },
    'The last day must not be before the first.',
    { untilOn: TODAY },
  ],
  [
    '/people/settle/hours',
    { weekday: '~Monday', words: 'at the clinic', fromOn: TODAY, untilOn: YESTERDAY },
    'The last day must not be before the first.',
    { untilOn: TODAY },
  ],
  [
    '/works/settle/tank-use',
    { tankId: '~Crossing', fromTime: '05:00', toTime: '05:00', kept: '1', keptIn: 'm3' },
    'The two hours are the same. Leave both empty for any hour.',
    { fromTime: '', toTime: '' },
  ],
  [
    '/works/settle/tank-use',
    { tankId: '~Crossing', fromTime: '05:00', toTime: '05:00', kept: '1', keptIn: 'm3', fromOn: '2026-11-26' },
    'The two hours are the same. Leave both empty for any hour.',
    { toTime: '05:01' },
  ],
])('%s with %o is told “%s”, and with %o taken', async (at, wrong, words, right) => {
  const seen = await refusedThenTaken(valley, amaru, { at, wrong, right })
  expect(seen.words).toContain(words)
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('how many eat from a plot is begun anew today or later, where a count is there already', async () => {
  const plots = await listPlots(valley.db, TODAY)
  const plotId = plots.find(({ holders }) => !holders.some(({ name }) => name.includes('Amaru')))!.id
  const at = '/turns/settle/people-of-plot'
  // The first one holds for the days before it too.
  expect((await amaru.fill(at, { plotId, persons: '4', fromOn: YESTERDAY })).status).toBe(200)
  const seen = await refusedThenTaken(valley, amaru, {
    at,
    wrong: { plotId, persons: '5', fromOn: YESTERDAY },
    right: { fromOn: TODAY },
  })
  expect(seen.words).toContain('This plot has a count already. A new one begins today or later.')
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('hours of an outlet whose flow nobody has tested yet say no volume', async () => {
  const untested = await amaru.fill('/paper/many/outlets', { pasted: '99\tnew valve\t1\t\t' })
  expect(untested.status).toBe(200)
  const page = await amaru.open('/people/plots/new')
  const [holderIds, outletIds] = [optionValue(page, 'holderIds', 'Hila'), optionValue(page, 'outletIds', '99 new')]
  const plot = { number: '77', name: 'new ground', area: '500', soil: 'loam', method: 'drip', holderIds, outletIds }
  expect((await amaru.send(page, plot)).status).toBe(200)
  const seen = await refusedThenTaken(valley, amaru, {
    at: '/turns/ask',
    wrong: { plotId: '~77 new ground', weekStartOn: '2026-11-30', volume: '1', askedIn: 'hours' },
    right: { askedIn: 'm3' },
  })
  expect(seen.words).toContain('Outlet 99 has no tested flow, so hours say no volume yet. Ask in m³ or jerrycans, or')
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('a pause of a list ends on its first day or later', async () => {
  const [door] = (await amaru.open('/turns/lists')).html.querySelectorAll('main .doors a')
  const seen = await refusedThenTaken(valley, amaru, {
    at: door!.getAttribute('href')!.replace('lists', 'settle/pause'),
    wrong: { cause: 'funeral', fromOn: TODAY, untilOn: YESTERDAY },
    right: { untilOn: TODAY },
  })
  expect(seen.words).toContain('A pause cannot end before it begins.')
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('a pump that stopped runs again a minute later or more', async () => {
  const at = `/log/days/${TODAY}`
  const page = await amaru.open(at)
  const pumpId = answersOf(page, 'pumpId')[0]!.value
  const seen = await refusedThenTaken(valley, amaru, {
    at: page,
    action: `${at}/less`,
    wrong: { pumpId, kind: 'down', since: '14:00', until: '14:00' },
    right: { until: '14:01' },
  })
  expect(seen.words).toContain('The pump cannot run again before it stopped.')
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('a day of a week that nobody has published has no list to share anew', async () => {
  const fields = { kind: 'down', since: '14:00' }
  const to = '/log/days/2026-12-01/less'
  const seen = await sentUnasked(valley, amaru, { keysOf: '/turns/settle/urgent', to, fields })
  expect(seen).toMatchObject(TOO_LATE)
  expect(seen.words).toContain('No week is published for this day, so there is no list to share anew.')
})

it('hours without turns are ended once', async () => {
  const hours = { cause: '~Rest', day: '~Sunday', words: 'the pump cools', fromOn: TODAY }
  const written = await refusedThenTaken(valley, amaru, {
    at: '/turns/settle/custom',
    wrong: { ...hours, untilOn: YESTERDAY },
    right: { untilOn: '' },
  })
  expect(written).toMatchObject(REFUSED_THEN_TAKEN)
  const { entryId } = await valley.db
    .selectFrom('noTurnCustom')
    .select('entryId')
    .where('words', '=', hours.words)
    .executeTakeFirstOrThrow()
  const at = `/turns/settle/custom/${entryId}`
  const fields = { reason: 'a new pump' }
  const late = await sentTooLate(valley, amaru, { at, fields, meanwhile: () => amaru.fill(at, fields) })
  expect(late).toMatchObject(TOO_LATE)
  expect(late.words).toContain('This was already corrected or struck out. Open the page again to see how it stands')
})
