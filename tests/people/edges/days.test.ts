import { beforeAll, expect, it } from 'vitest'
import { isNewBook } from '../../../server/book/names/first-days.ts'
import { endingTerms } from '../../../server/people/handover/state.ts'
import { setTerm } from '../../../server/people/handover/store.ts'
import { firstFreeOn } from '../../../server/people/market-week/state.ts'
import { personOfSession, startSession } from '../../../server/people/session/store.ts'
import { type MoneyBook, moneyBook } from '../../fees/book.ts'
import type { Fields } from '../../support/visitor.ts'

let book: MoneyBook
beforeAll(async () => {
  book = await moneyBook()
})

const RULE = { number: '9', conduct: 'a valve left open', lapseDays: '90', fromOn: '2026-06-04', minute: '3' }
const WARNING = { step: 'word', rule: 'rule 9', fact: 'valve 3 open', heardOn: '2026-06-03', hearing: 'forgot it' }

/** The form, what is answered of it, and of one line or more the last that is refused, where its words stand, and the first that is taken. */
const FORMS: [string, Fields, [Fields, string, string], Fields][] = [
  [
    '/works/group',
    { seasonStart: '2026-06-01' },
    [{ seasonEnd: '2026-06-01' }, 'seasonEnd', 'season'],
    { seasonEnd: '2026-06-02' },
  ],
  [
    '/people/warnings/new?conduct=',
    { ...WARNING, personId: 'Bela' },
    [{ lapseOn: '2026-06-03' }, 'lapseOn', 'after the day of the hearing'],
    { lapseOn: '2026-06-04' },
  ],
  [
    '/people/settle/conduct',
    RULE,
    [{ wordsBefore: '0', warningsBefore: '0' }, 'wordsBefore', 'at least one word'],
    { wordsBefore: '1', warningsBefore: '1' },
  ],
  [
    '/people/settle/lives-together',
    {},
    [{ personIds: ['Bela', 'nobody'] }, 'personIds', 'Choose'],
    { personIds: ['Bela', 'Chidi'] },
  ],
]

const withIds = (fields: Fields) =>
  Object.fromEntries(
    Object.entries(fields).map(([name, value]) => {
      const idOf = (one: string) => book.ids[one as 'Bela'] ?? one
      return [name, typeof value === 'string' ? idOf(value) : value.map(idOf)]
    }),
  )

it.each(FORMS)('%s with %j refuses %j and takes %j', async (path, also, [wrong, field, words], right) => {
  const refused = await book.ada.fill(path, withIds({ ...also, ...wrong }))
  expect(refused.html.querySelector(`#${field}-error`)?.text).toContain(words)
  const taken = await book.ada.send(refused, withIds(right))
  expect([taken.status, taken.html.querySelector(`#${field}-error`)]).toEqual([200, null])
})

it('a term is told from the thirtieth day before its end on', async () => {
  const terms = [
    ['Tomo', 'treasurer', '2026-07-04'],
    ['Ines', 'auditor', '2026-07-05'],
  ] as const
  for (const [name, office, untilOn] of terms)
    await book.as('Ada', (pen) => setTerm(pen, { personId: book.ids[name] as never, office, untilOn }, null))
  expect((await endingTerms(book.db, '2026-06-04')).map(({ name }) => name)).toEqual(['Tomo'])
})

it('a book is new for thirty days to the millisecond', async () => {
  const { writtenAt } = await book.db.selectFrom('entry').select('writtenAt').orderBy('seq').executeTakeFirstOrThrow()
  const after = (ms: number) => new Date(Date.parse(writtenAt) + 30 * 86_400_000 + ms).toISOString()
  expect([await isNewBook(book.db, after(0)), await isNewBook(book.db, after(1))]).toEqual([true, false])
})

it.each([
  ['2026-06-03', '2026-06-04'],
  ['2026-06-04', '2026-06-05'],
  [null, '2026-06-04'],
])('where weeks are published until %s, other weeks can begin on %s', async (until, free) => {
  const parts = { people: { publishedUntil: async () => until } } as never
  expect(await firstFreeOn({ db: book.db, parts, today: '2026-06-04' })).toBe(free)
})

it.each([
  ['1', true],
  ['2', false],
])('of four members the third is two: with %s in the meeting too few were there: %s', async (present, isShort) => {
  await book.ada.fill('/people/settle/quorum', { body: 'meeting', part: 'third', fromOn: '2026-06-01' })
  const decision = { number: `7/${present}`, metOn: '2026-06-04', body: 'meeting', words: 'the wall is mended' }
  const page = await book.ada.fill('/people/decisions/new', { ...decision, present })
  const links = page.html.querySelectorAll('main a[href^="/people/lines/decision/"]')
  const { words } = await book.ada.open(links.find(({ text }) => text.includes(decision.number))!.getAttribute('href')!)
  expect(words).toContain('at least 2 of 4')
  expect(words.includes('Too few were there')).toBe(isShort)
})

it('a sign-in holds to the last millisecond of its hours', async () => {
  const at = new Date('2026-06-04T05:00:00Z')
  const key = await startSession(book.db, { personId: book.ids.Bela as never, at, isShared: false })
  const { expiresAt } = await book.db
    .selectFrom('session')
    .select('expiresAt')
    .orderBy('expiresAt', 'desc')
    .executeTakeFirstOrThrow()
  const seen = async (ms: number) =>
    personOfSession(book.db, { key, at: new Date(Date.parse(expiresAt) + ms), today: '2026-06-04' })
  expect([await seen(-1), await seen(0)]).toEqual([
    expect.objectContaining({ person: expect.anything() }),
    expect.objectContaining({ lapsedId: book.ids.Bela }),
  ])
})
