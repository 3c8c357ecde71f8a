import { globSync, readFileSync } from 'node:fs'
import { beforeEach, describe, expect, it } from 'vitest'
import { type HouseholdFacts, householdOf, partsHousehold } from '../../../domain/people/household.ts'
import { appendEntry, type Facts } from '../../../server/book/entries.ts'
import { NAME_NEEDED } from '../../../server/book/name-needed.ts'
import { approve } from '../../../server/book/names/approvals.ts'
import { householdHolds } from '../../../server/book/names/household.ts'
import { writeHousehold } from '../../../server/people/household/store.ts'
import { setHolders } from '../../../server/people/plot/store.ts'
import { type MoneyBook, moneyBook, TODAY } from '../../fees/book.ts'

let book: MoneyBook
beforeEach(async () => {
  book = await moneyBook()
})

type Who = Parameters<MoneyBook['as']>[0]
const live = (names: Who[], fromOn = TODAY, by: Who = 'Ada') =>
  book.as(by, (pen) => writeHousehold(pen, { personIds: names.map((name) => book.ids[name]), fromOn }))
const named = (name: Who, id: string) => book.as(name, (pen) => approve(pen, id))

async function writeTurn(plotId: string): Promise<string> {
  const [pumpId, outletId, id] = ['a pump', 'an outlet', 'a turn'].map((word) => `${word} ${Math.random()}`)
  const number = Math.floor(Math.random() * 9000)
  await book.as('Tomo', async (pen) => {
    await appendEntry(pen, { kind: 'pump' }, { pump: [{ number, name: 'One' }] }, pumpId)
    await appendEntry(pen, { kind: 'outlet' }, { outlet: [{ number, name: 'First', pumpId: pumpId! }] }, outletId)
    const hours = { onDate: TODAY, startMinute: 540, endMinute: 600, volumeM3: 1 }
    const turn = { id: id!, plotId, outletId: outletId!, pumpId: pumpId!, ...hours }
    await appendEntry(pen, { kind: 'published-week' }, { turn: [turn] })
  })
  return id!
}

async function consentThatBelaGainsBy(): Promise<Facts> {
  const { ids, plotOf } = book
  const turnId = await writeTurn(plotOf.Chidi)
  const swap = { weekStartOn: '2026-06-01', turnId, otherTurnId: null, toPlotId: plotOf.Bela, payer: 'holder' }
  const swapId = await book.as('Bela', (pen) => appendEntry(pen, { kind: 'turn-swap' }, { turnSwap: [swap] }))
  return { swapConsent: [{ swapId, plotId: plotOf.Chidi, personId: ids.Chidi, given: 'present' }] }
}

async function excuseOfBela(): Promise<Facts> {
  const turnId = await writeTurn(book.plotOf.Bela)
  return { turnOutcome: [{ turnId, cause: 'excused', standInId: null, words: null }] }
}

/** Whether Ada counts as of Bela's household, by every rule that asks for one. */
const byName = (kind: string, facts: () => Promise<Facts>) => async () => {
  const rows = await facts()
  const id = await book.as('Tomo', (pen) => appendEntry(pen, { kind }, rows))
  return named('Ada', id).then(
    () => false,
    (error: Error) => error.message.includes('approval-by-one-concerned'),
  )
}
const RULES: Record<string, { calls: string; counts: () => Promise<boolean> }> = {
  'a name under a consent that the household gains by': {
    calls: 'server/book/names/concerned.ts: householdOfPlot(db, other, row.onDate)',
    counts: byName('swap-consent', consentThatBelaGainsBy),
  },
  'a name under an excuse after the hour': {
    calls: 'server/book/names/concerned.ts: householdOfPlot(db, row.plotId, row.onDate)',
    counts: byName('late-excuse', excuseOfBela),
  },
  'a name under what makes a part of the household larger': {
    calls: 'server/book/names/concerned.ts: householdOfPlot(db, plotId, day)',
    counts: byName('plot-household', async () => ({
      plotHousehold: [{ plotId: book.plotOf.Bela, fromOn: TODAY, persons: 9 }],
    })),
  },
  'a consent written in for somebody else': {
    calls: 'server/rotation/swap/routes.ts: householdHolds(pen.trx, pen.writtenBy, { plotIds: gains, on: today })',
    counts: () => householdHolds(book.db, book.ids.Ada, { plotIds: [book.plotOf.Bela], on: TODAY }),
  },
  'a name under what takes somebody out of the household': {
    calls: 'server/book/names/acts.ts: householdsOfLine',
    counts: byName('lives-together', async () => ({
      livesTogether: [{ personId: book.ids.Bela, fromOn: TODAY }],
      ...NAME_NEEDED,
    })),
  },
}

describe.each(Object.entries(RULES))('%s', (_, { counts }) => {
  it('knows a couple that holds no plot together', async () => {
    expect(await counts()).toBe(false)
    await live(['Ada', 'Bela'])
    expect(await counts()).toBe(true)
  })

  it('knows whoever holds a plot together, and whoever lives with one of them', async () => {
    const holderIds = [book.ids.Bela, book.ids.Chidi]
    await book.as('Ines', (pen) => setHolders(pen, book.plotOf.Bela, holderIds, TODAY))
    expect(await counts()).toBe(false)
    await live(['Ada', 'Chidi'])
    expect(await counts()).toBe(true)
  })

  it('lets nobody out of the household before another name, nor by a plot that changes hands', async () => {
    await live(['Ada', 'Bela'], '2026-01-01')
    const left = await live(['Ada'])
    expect(await counts()).toBe(true)
    await expect(named('Bela', left)).rejects.toThrow('approval-by-one-concerned')
    await named('Ines', left)
    expect(await counts()).toBe(false)
    await book.as('Ada', (pen) => setHolders(pen, book.plotOf.Bela, [book.ids.Bela, book.ids.Ada], TODAY))
    await book.as('Ada', (pen) => setHolders(pen, book.plotOf.Bela, [book.ids.Bela], TODAY))
    expect(await counts()).toBe(true)
    await named('Ines', await live(['Ada']))
    expect(await counts()).toBe(false)
  })

  it('counts no line before its day', async () => {
    await live(['Ada', 'Bela'], '2026-06-05')
    expect(await counts()).toBe(false)
  })
})

it('tries every place that asks for a household', () => {
  const calls = globSync('server/**/*.ts').flatMap((file) =>
    [
      ...readFileSync(file, 'utf8').matchAll(
        /(?<!function )\b(householdOfPlot|householdHolds)\((?!\n).*?[^ ]\)|concerned: householdsOfLine/g,
      ),
    ]
      .filter(() => !file.endsWith('names/household.ts'))
      .map(([call]) => `${file}: ${call.replace('concerned: ', '')}`),
  )
  const tried = Object.values(RULES).map((rule) => rule.calls)
  expect(calls.map((call) => tried.find((one) => call.startsWith(one)) ?? call).toSorted()).toEqual(tried.toSorted())
})

describe('who is of a household', () => {
  const facts = (living: [string, string[]][], held: [string, string, string[]][] = []): HouseholdFacts => ({
    living: living.map(([fromOn, personIds], seq) => ({
      fromOn: fromOn as never,
      personIds: personIds as never,
      seq: 200 + seq,
    })),
    held: held.map(([plotId, fromOn, personIds], at) => ({
      plotId: plotId as never,
      fromOn: fromOn as never,
      personIds: personIds as never,
      seq: 100 + at,
    })),
  })
  const of = (known: HouseholdFacts, id: string, on = TODAY) =>
    householdOf(known, [id as never], on as never).toSorted()

  it('goes by the last line of each person on the day', () => {
    const known = facts([
      ['2026-01-01', ['a', 'b', 'c']],
      ['2026-05-01', ['c', 'd']],
    ])
    expect(of(known, 'a', '2026-04-30')).toEqual(['a', 'b', 'c'])
    expect(of(known, 'a')).toEqual(['a', 'b'])
    expect(of(known, 'c')).toEqual(['c', 'd'])
  })

  it('keeps those who held a plot together until a later line tells of one of them', () => {
    const held: [string, string, string[]][] = [
      ['p', '2026-01-01', ['a', 'b']],
      ['p', '2026-03-01', ['b']],
    ]
    expect(of(facts([], held), 'a')).toEqual(['a', 'b'])
    expect(of(facts([['2026-02-28', ['a']]], held), 'a')).toEqual(['a', 'b'])
    expect(of(facts([['2026-03-01', ['a']]], held), 'a')).toEqual(['a'])
  })

  it('tells what takes somebody out, also by the way round of a third', () => {
    const parts = (known: HouseholdFacts, ids: string[], fromOn = TODAY) =>
      partsHousehold(known, { personIds: ids as never, fromOn: fromOn as never })
    const couple = facts([['2026-01-01', ['a', 'b']]])
    expect(parts(couple, ['a', 'b', 'c'])).toBe(false)
    expect(parts(couple, ['a'])).toBe(true)
    expect(parts(couple, ['a', 'z'])).toBe(true)
    expect(parts(couple, ['a'], '2025-12-31')).toBe(false) // the line of January still holds from then on
    const sold = facts(
      [],
      [
        ['p', '2026-01-01', ['a', 'b']],
        ['p', '2026-03-01', ['b']],
      ],
    )
    expect(parts(sold, ['a', 'z'])).toBe(true)
  })
})
