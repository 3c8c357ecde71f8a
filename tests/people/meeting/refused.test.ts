import { beforeAll, expect, it } from 'vitest'
import { listPlots } from '../../../server/people/plot/store.ts'
import { REFUSED_THEN_TAKEN, refusedThenTaken, sentTooLate, sentUnasked, TOO_LATE } from '../../laws/told.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { type Fields, optionValue, type Visitor } from '../../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
const who = {} as Record<'amaru' | 'besi' | 'hila', Visitor>
beforeAll(async () => {
  valley = await openValley()
  for (const name of ['amaru', 'besi', 'hila'] as const) who[name] = await valley.signIn(name)
})

const TODAY = VALLEY_TODAY
const YESTERDAY = '2026-11-24'
const PERSON = { name: 'Somebody New', roles: ['member'], password: 'nine-long-words' }
const DECIDED = { metOn: YESTERDAY, body: 'meeting', words: 'The path is mended.' }
const MEASURE = { kind: 'area', name: 'rope square', size: '4000' }
const APPLICANT = { name: 'Newcomer', words: 'asks for ground', ownAreaIn: '~rope square' }

it.each<[address: string, wrong: Fields, words: string, right: Fields]>([
  [
    '/people/new',
    { ...PERSON, number: '81', signInName: 'hila' },
    'Somebody already signs in with this name. Choose another.',
    { ...PERSON, signInName: 'hilary' },
  ],
  [
    '/people/new',
    { ...PERSON, number: '82', signInName: '83' },
    'A name of digits alone would be taken for a number.',
    { ...PERSON, signInName: '82' },
  ],
  [
    '/people/decisions/new',
    { ...DECIDED, number: 'r/1', votesFor: '9' },
    'Write both the votes for and the votes against, or neither.',
    { votesAgainst: '0' },
  ],
  [
    '/people/decisions/new',
    { ...DECIDED, number: 'r/2', votesAgainst: '9' },
    'Write both the votes for and the votes against, or neither.',
    { votesAgainst: '' },
  ],
  [
    '/people/settle/measure',
    { ...MEASURE, fromOn: YESTERDAY },
    'What was counted before stays as it was. Choose today or a later day.',
    { fromOn: TODAY },
  ],
  [
    '/people/applicants/new',
    { ...APPLICANT, ownArea: '251' },
    'That is 1,004,000 m². A plot here has 1 to 1,000,000 m².',
    { ownArea: '250' },
  ],
  [
    '/people/settle/arrears-rule',
    { follows: 'plot', minute: 'r/1', fromOn: YESTERDAY },
    'A rule holds from today or a later day on.',
    { fromOn: TODAY },
  ],
])('%s with %o is told “%s”, and with %o taken', async (at, wrong, words, right) => {
  const seen = await refusedThenTaken(valley, who.amaru, { at, wrong, right })
  expect(seen.words).toContain(words)
  // A password is the one thing that does not come back.
  const lost = 'password' in wrong ? ['password'] : []
  expect(seen).toMatchObject({ ...REFUSED_THEN_TAKEN, refusal: { status: 422, written: 0, lost } })
})

it.each<[wrong: Fields, words: string, right: Fields]>([
  [{ fromOn: YESTERDAY }, 'A plot is split from today or a later day on', { fromOn: TODAY }],
  [{ shares: '1.01' }, 'The plot has 1 share. Write no more than that.', { shares: '1' }],
])('a plot split with %o is told “%s”, and with %o split', async (wrong, words, right) => {
  const plots = await listPlots(valley.db, TODAY)
  const plot = plots.find(({ isAreaKnown, areaM2, shares }) => isAreaKnown && areaM2 > 300 && shares === 1)!
  const at = `/people/plots/${plot.id}/change?as=split`
  const part = { area: '10', holderIds: optionValue(await who.amaru.open(at), 'holderIds', 'Hila') }
  const seen = await refusedThenTaken(valley, who.amaru, { at, wrong: { ...part, ...wrong }, right })
  expect(seen.words).toContain(words)
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('a plot that nobody taped is split once it is taped', async () => {
  const page = await who.amaru.open('/people/plots/new')
  const [holderIds, outletIds] = [optionValue(page, 'holderIds', 'Hila'), optionValue(page, 'outletIds', '1 line 1')]
  const ground = { soil: 'loam', method: 'drip', outletIds }
  const plot = await who.amaru.send(page, { ...ground, number: '91', name: 'by eye', area: '', holderIds })
  const id = (await listPlots(valley.db, TODAY)).find(({ number }) => number === 91)!.id
  expect(plot.status).toBe(200)
  const at = `/people/plots/${id}/change?as=split`
  const typed = { area: '10', holderIds }
  const refused = await who.amaru.fill(at, typed)
  expect([refused.status, refused.words]).toEqual([422, expect.stringContaining('Nobody has taped this plot. Tape it')])
  expect((await who.amaru.fill(`/people/plots/${id}/change`, { ...ground, area: '300' })).status).toBe(200)
  expect((await who.amaru.send(refused, {})).status).toBe(200)
})

it('whoever waited for ground is taken in, or off the list, once', async () => {
  const { path } = await who.amaru.fill('/people/applicants/new', { name: 'Twice', area: '100', words: 'asks' })
  const end = { way: 'off', words: 'moved away' }
  const late = await sentTooLate(valley, who.besi, {
    at: path,
    action: `${path}/end`,
    fields: end,
    meanwhile: () => who.amaru.fill(path, end, { action: `${path}/end` }),
  })
  expect(late).toMatchObject(TOO_LATE)
  expect(late.words).toContain('This was settled already.')
})

it('a complaint is heard after it was said, by somebody without a part in it, until it is settled', async () => {
  const form = await who.hila.open('/people/complaints/new')
  const aboutId = optionValue(form, 'aboutId', 'Besi')
  const { path } = await who.hila.send(form, { aboutId, words: 'the gate was shut', saidOn: YESTERDAY })
  const heard = { body: 'attendant', outcome: 'both told', ends: 'goes-on' }
  const said = 'It was heard after it was said, and not later than today.'
  for (const [heardOn, taken, body] of [
    ['2026-11-23', YESTERDAY, 'attendant'],
    ['2026-11-26', TODAY, 'elders'],
  ] as const) {
    const wrong = { ...heard, body, heardOn }
    const seen = await refusedThenTaken(valley, who.amaru, { at: path, wrong, right: { heardOn: taken } })
    expect(seen.words).toContain(said)
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
  }
  const notYours = 'It is settled, or you have a part in it. Ask another committee member.'
  const settled = { ...heard, body: 'meeting', ends: 'ends' }
  const own = await sentUnasked(valley, who.besi, { keysOf: '/people/new', to: `${path}/hearings`, fields: settled })
  const late = await sentTooLate(valley, who.amaru, {
    at: path,
    fields: settled,
    meanwhile: () => who.amaru.fill(path, settled),
  })
  for (const seen of [own, late]) {
    expect(seen).toMatchObject(TOO_LATE)
    expect(seen.words).toContain(notYours)
  }
})

it('a word is appealed once, and ruled on once by somebody without a part in it', async () => {
  const { amaru, besi, hila } = who
  const form = await amaru.open('/people/warnings/new')
  const said = { rule: 'rule 9', fact: 'valve open', hearing: 'forgot', heardOn: YESTERDAY, lapseOn: '2027-05-01' }
  const personId = optionValue(form, 'personId', 'Hila')
  const { path } = await amaru.send(form, { ...said, personId, step: 'word', body: 'committee' })
  const appeal = { toBody: 'elders', words: 'the latch was broken' }
  const again = await sentTooLate(valley, hila, {
    at: path,
    fields: appeal,
    meanwhile: () => hila.fill(path, appeal, { action: `${path}/appeal` }),
  })
  const ruling = { way: 'lifted', words: 'the latch was broken indeed' }
  const own = await sentUnasked(valley, amaru, { keysOf: '/people/new', to: `${path}/ruling`, fields: ruling })
  const late = await sentTooLate(valley, besi, {
    at: path,
    fields: ruling,
    meanwhile: () => besi.fill(path, ruling, { action: `${path}/ruling` }),
  })
  const notYours = 'Whoever has a part in it does not write how it was decided. Ask another committee member.'
  for (const [seen, words] of [
    [again, 'It can be appealed once, while it counts. This one no longer can.'],
    [own, notYours],
    [late, notYours],
  ] as const) {
    expect(seen).toMatchObject(TOO_LATE)
    expect(seen.words).toContain(words)
  }
})
