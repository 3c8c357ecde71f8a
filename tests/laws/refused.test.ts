import { beforeAll, expect, it } from 'vitest'
import { formsOn, Rascal } from '../faults/nasty.ts'
import { openValley } from '../support/valley.ts'

/** What a form refuses, in which words, and the one answer with which it takes the same: `:kind` stands for the id of the last of a kind. */
const ROWS: [who: 'amaru' | 'fanta', address: string, wrong: string, words: string, right: string][] = [
  ['amaru', '/people/complaints/new', 'byId=:person aboutId=:person', 'Nobody complains about themselves', 'aboutId='],
  [
    'amaru',
    '/people/handovers/new',
    'giverId=:person takerId=:person',
    'Nobody hands over to themselves',
    'giverId=:amaru',
  ],
  [
    'amaru',
    '/people/new',
    'signInName=zawadi password=',
    'A sign-in needs both a name and a password',
    'password=nine-long-words',
  ],
  [
    'amaru',
    '/people/new',
    'signInName= password=nine-long-words',
    'A sign-in needs both a name and a password',
    'signInName=zola',
  ],
  [
    'amaru',
    '/works/settle/pair',
    'outletA=:outlet outletB=:outlet',
    'Choose two different outlets',
    'outletA=:first-outlet',
  ],
  ['amaru', '/turns/settle/class', 'fromOn=2026-11-24', 'from today on or later', 'fromOn=2026-11-25'],
  ['fanta', '/money/count', 'secondId=:fanta', 'Two different people count', 'secondId=:amaru'],
  ['fanta', '/paper/numbers?as=receipts', 'name=Brown', 'Another book has this name already', 'name=Violet'],
]

let valley: Awaited<ReturnType<typeof openValley>>
const as = {} as Record<'amaru' | 'fanta', Rascal>
const ids = new Map<string, string>()

beforeAll(async () => {
  valley = await openValley()
  for (const { id, kind } of await valley.db.selectFrom('entry').select(['id', 'kind']).orderBy('seq').execute()) {
    if (!ids.has(kind)) ids.set(`first-${kind}`, id)
    ids.set(kind, id)
  }
  const persons = await valley.db.selectFrom('person').select(['entryId', 'signInName']).execute()
  for (const { entryId, signInName } of persons) if (signInName) ids.set(signInName, entryId)
  for (const name of ['amaru', 'fanta'] as const) {
    as[name] = new Rascal(valley.app)
    await as[name].signIn(name)
  }
})

function answers(words: string): Record<string, string> {
  return Object.fromEntries(
    words.split(' ').map((one) => one.replace(/:([a-z-]+)/, (_, kind) => ids.get(kind)!).split('=')),
  )
}

const countEntries = async () => (await valley.db.selectFrom('entry').select('seq').execute()).length

it.each(ROWS)('%s at %s with %s is told “%s”, and with %s no longer', async (who, address, wrong, words, right) => {
  const { html } = await as[who].open(address)
  const form = formsOn(html).find(({ willing }) => Object.keys(answers(wrong)).every((line) => line in willing))!
  const before = await countEntries()
  const refused = await as[who].post(form.action, { ...form.willing, ...answers(wrong) })
  expect([refused.status, refused.text.includes(words), await countEntries()]).toEqual([422, true, before])
  const taken = await as[who].post(form.action, { ...form.willing, ...answers(wrong), ...answers(right) })
  expect(taken.text).not.toContain(words)
})
