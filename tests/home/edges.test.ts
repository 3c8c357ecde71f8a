import { describe, expect, it } from 'vitest'
import { appendEntry } from '../../server/book/entries.ts'
import { recordCount } from '../../server/fees/cash/count-store.ts'
import { ownAhead } from '../../server/home/today/now.ts'
import { setHolders } from '../../server/people/plot/store.ts'
import { bookedTurns } from '../../server/rotation/published/turn-store.ts'
import { moneyBook } from '../fees/book.ts'
import { turnBook } from '../fees/turn-book.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

const WEEK = '2026-11-23'
const clock = (minute: number) =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`

describe('in the minute in which a turn ends', () => {
  it('it is no longer ahead of its holder', () => {
    const turn = (on: string, endMinute: number) => ({ on, endMinute })
    const ownTurns = [
      turn('2026-06-03', 700),
      turn('2026-06-04', 600),
      turn('2026-06-04', 601),
      turn('2026-06-05', 500),
    ]
    const ahead = ownAhead({ today: '2026-06-04' }, { ownTurns, minute: 600 } as never)
    expect(ahead.map(({ on, endMinute }) => `${on} ${endMinute}`)).toEqual(['2026-06-04 601', '2026-06-05 500'])
  })

  it('and none follows, the evening round and the close of the day are due; not a minute before', async () => {
    const valley = await openValley()
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const last = Math.max(...turns.flatMap(({ on, endMinute }) => (on === VALLEY_TODAY ? [endMinute] : [])))
    const due = async (minute: number) => {
      valley.setNow(`${VALLEY_TODAY}T${clock(minute)}:00Z`)
      const { words } = await (await valley.signIn('dovi')).open('/')
      return [words.includes('Evening round'), words.includes('Close the day')]
    }
    expect([await due(last - 1), await due(last)]).toEqual([
      [false, false],
      [true, true],
    ])
  })
})

it('each earlier day is told with its own turns that nobody wrote in, the last day first', async () => {
  const valley = await openValley('2026-11-27')
  const dovi = await valley.signIn('dovi')
  const links = (await dovi.open('/')).html.querySelectorAll('main .list a[href^="/log/days/"]')
  const told = links.map((link) => [link.getAttribute('href'), Number(link.querySelector('.figure')!.text)])
  const drawn = await valley.db.selectFrom('abstraction').select('turnId').execute()
  const unwritten = (await bookedTurns(valley.db, WEEK))!.turns.filter(
    ({ bookId, droppedBy }) => !droppedBy && !drawn.some(({ turnId }) => turnId === bookId),
  )
  const of = (day: string) => unwritten.filter(({ on }) => on === day).length
  expect(of('2026-11-25')).not.toBe(of('2026-11-26'))
  expect(told).toEqual([
    ['/log/days/2026-11-26', of('2026-11-26')],
    ['/log/days/2026-11-25', of('2026-11-25')],
  ])
})

it('two own turns are at once where they share a minute, and not where one begins as the other ends', async () => {
  const { db, signIn } = await openValley()
  const { turns } = (await bookedTurns(db, WEEK))!
  const ahead = turns.filter(({ on }) => on > VALLEY_TODAY)
  const pairs = ahead.flatMap((one) => ahead.map((other) => [one, other] as const))
  const onOneDay = pairs.filter(([one, other]) => one.on === other.on && one.plot!.id !== other.plot!.id)
  const touching = onOneDay.find(([one, other]) => one.endMinute === other.startMinute)!
  const crossing = onOneDay.find(
    ([one, other]) => one.startMinute < other.endMinute && other.startMinute < one.endMinute,
  )!
  const persons = await db.selectFrom('person').select(['entryId', 'signInName']).execute()
  const idOf = (name: string) => persons.find(({ signInName }) => signInName === name)!.entryId
  /** Hila holds the plots of two turns and no other. */
  const isTold = async (pair: typeof touching) => {
    await db.transaction().execute(async (trx) => {
      const pen = { trx, writtenBy: idOf('amaru'), writtenAt: `${VALLEY_TODAY}T06:00:00.000Z` } as never
      for (const id of new Set(turns.map(({ plot }) => plot!.id)))
        await setHolders(pen, id as never, [idOf('amaru')], VALLEY_TODAY)
      for (const { plot } of pair) await setHolders(pen, plot!.id as never, [idOf('hila')], VALLEY_TODAY)
    })
    return (await (await signIn('hila')).open('/')).words.includes('Two turns at once')
  }
  expect([await isTold(touching), await isTold(crossing)]).toEqual([false, true])
})

it('the sheet of a week is to be printed on the day on which it was published and on the next, and no more on the third', async () => {
  const valley = await openValley()
  const path = '/turns/weeks/2026-11-30/publish'
  const chair = await valley.signIn('amaru')
  await chair.send(await chair.open(path), {}, path)
  const isTold = async (on: string) => {
    valley.setNow(`${on}T06:00:00Z`)
    const { html } = await (await valley.signIn('amaru')).open('/')
    return html.querySelector('main a[href="/turns/weeks/2026-11-30/sheet"]') !== null
  }
  expect([await isTold('2026-11-26'), await isTold('2026-11-27')]).toEqual([true, false])
})

it('the cash is to be counted from the eighth day after the last count on', async () => {
  const book = await moneyBook()
  await book.as('Tomo', (pen) =>
    recordCount(pen, { countedOn: '2026-06-04', countedMinor: 0, secondId: book.ids.Ines }),
  )
  const isDue = async (day: string) => {
    book.setNow(`${day}T05:00:00Z`)
    return (await (await book.signedIn('Tomo')).open('/')).words.includes('Count the cash')
  }
  expect([await isDue('2026-06-11'), await isDue('2026-06-12')]).toEqual([false, true])
})

it('an outlet that gives a fifth less is looked after on the six days after its test, and no more on the seventh', async () => {
  const book = await turnBook()
  const { entryId: outletId } = await book.db.selectFrom('outlet').select('entryId').executeTakeFirstOrThrow()
  for (const [testedOn, flowM3PerH] of [
    ['2026-06-01', 5],
    ['2026-06-04', 4],
  ] as const) {
    const facts = { outletFlowTest: [{ outletId, testedOn, flowM3PerH }] }
    await book.as('Dela', (pen) => appendEntry(pen, { kind: 'flow-test' }, facts))
  }
  const isTold = async (day: string) => {
    book.setNow(`${day}T05:00:00Z`)
    return (await (await book.signedIn('Dela')).open('/')).words.includes('a fifth or more in the last test')
  }
  expect([await isTold('2026-06-10'), await isTold('2026-06-11')]).toEqual([true, false])
})
