import { beforeAll, describe, expect, it } from 'vitest'
import { appendEntry } from '../../../server/book/entries.ts'
import { marksShown } from '../../../server/people/mark/shown.ts'
import { plotsOfOwnHousehold } from '../../../server/people/plot/own-household-state.ts'
import { answeringOwners } from '../../../server/people/plot/owner-state.ts'
import { setArrearsRule, setOwner } from '../../../server/people/plot/owner-store.ts'
import { addPlot, listPlots, setHolders } from '../../../server/people/plot/store.ts'
import { bookedTurns } from '../../../server/rotation/published/turn-store.ts'
import type { Desk } from '../../../server/web/pages/desk.ts'
import { type MoneyBook, moneyBook } from '../../fees/book.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const TODAY = '2026-07-10'
const PLOT = { areaM2: 400, soil: 'sandy_loam', method: 'drip', shares: 1, outletIds: [], fromOn: '2026-06-01' }

describe('a plot that two hold', () => {
  let book: MoneyBook
  let ada: Visitor
  let desk: Pick<Desk, 'db' | 'person' | 'today' | 'at'>

  /** The book is older than a month, so nobody gives land to the own household any more. */
  beforeAll(async () => {
    book = await moneyBook()
    book.setNow(`${TODAY}T05:00:00Z`)
    ada = book.visitor()
    await ada.fill('/sign-in', { signInName: 'ada', password: 'a long enough word' })
    const at = new Date(`${TODAY}T05:00:00Z`)
    desk = { db: book.db, person: { id: book.ids.Ada }, today: TODAY, at } as unknown as typeof desk
  })

  const heldBy = (number: number, ...names: (keyof MoneyBook['ids'])[]) =>
    book.as('Ada', (pen) =>
      addPlot(pen, { ...PLOT, number, name: `Plot ${number}`, holderIds: names.map((name) => book.ids[name]) }),
    )

  it.each([
    ['holders', { holderIds: ['Ada', 'Bela', 'Chidi'], fromOn: TODAY }],
    ['split', { holderIds: ['Ada', 'Bela'], area: '100', number: '31', fromOn: TODAY }],
  ] as const)(
    'one of whom writes is no new land of the writer, at change?as=%s',
    async (way, { holderIds, ...fields }) => {
      const id = await heldBy(way === 'split' ? 30 : 20, 'Ada', 'Bela')
      const ids = holderIds.map((name) => book.ids[name])
      const page = await ada.fill(`/people/plots/${id}/change?as=${way}`, { ...fields, holderIds: ids })
      expect([page.status, page.path]).toEqual([200, `/people/plots/${id}`])
    },
  )

  it('is marked as their own for each of them in the list of plots, and for nobody else', async () => {
    await heldBy(46, 'Bela', 'Chidi')
    const own = async (name: 'Bela' | 'Chidi' | 'Dela') => {
      const lines = (await (await book.signedIn(name)).open('/people')).html.querySelectorAll('li.own')
      return lines.some(({ text }) => text.includes('Plot 46'))
    }
    expect([await own('Bela'), await own('Chidi'), await own('Dela')]).toEqual([true, true, false])
  })

  it('is one of the own household’s, and has an officer’s corner, where one of them is', async () => {
    const id = await heldBy(40, 'Ada', 'Chidi')
    expect((await plotsOfOwnHousehold(desk, TODAY)).has(id)).toBe(true)
    const marks = await marksShown(book.db, TODAY, { t: (key: string) => key } as never)
    expect([marks.isOfficers(id), marks.isOfficers(book.plotOf.Chidi)]).toEqual([true, false])
  })

  it('is let only where its owner is neither of them, and who owns two of a tenant’s answers once', async () => {
    await book.as('Ada', (pen) => setArrearsRule(pen, { fromOn: '2026-06-01', follows: 'plot' }, '7'))
    const own = await heldBy(50, 'Bela', 'Chidi')
    const owned = (plotId: string, name: 'Chidi' | 'Dela') =>
      book.as('Ada', (pen) => setOwner(pen, { plotId, ownerId: book.ids[name] as never, fromOn: '2026-06-01' }))
    await owned(own, 'Chidi')
    const answering = async () =>
      [...(await answeringOwners(desk as Desk))].map(([id, owners]) => [id, owners.map(({ name }) => name)])
    expect(await answering()).toEqual([])
    expect((await ada.open(`/people/plots/${own}`)).words).not.toContain('It is let by')
    for (const plotId of [own, book.plotOf.Bela]) await owned(plotId, 'Dela')
    expect(Object.fromEntries(await answering())).toEqual({ [book.ids.Bela]: ['Dela'], [book.ids.Chidi]: ['Dela'] })
    expect((await ada.open(`/people/plots/${own}`)).words).toContain('It is let by Dela')
  })
})

describe('a turn ahead on a plot that two hold', () => {
  it('stands on the first page of both, and neither loses the plot while it is agreed', async () => {
    const valley = await openValley()
    const { turns } = (await bookedTurns(valley.db, '2026-11-23'))!
    const turn = turns.find(({ on }) => on > VALLEY_TODAY)!
    const persons = await valley.db.selectFrom('person').select(['entryId', 'name', 'signInName']).execute()
    const [hila, isko, amaru] = ['hila', 'isko', 'amaru'].map(
      (name) => persons.find(({ signInName }) => signInName === name)!.entryId,
    )
    await valley.db.transaction().execute((trx) => {
      const pen = { trx, writtenBy: amaru!, writtenAt: `${VALLEY_TODAY}T06:00:00.000Z` } as const
      return setHolders(pen as never, turn.plot!.id as never, [hila!, isko!], VALLEY_TODAY)
    })
    for (const name of ['hila', 'isko'])
      expect((await (await valley.signIn(name)).open('/')).text, name).toContain(`/turns/${turn.bookId}`)
    const chair = await valley.signIn('amaru')
    const change = `/people/plots/${turn.plot!.id}/change?as=holders`
    const refused = await chair.fill(change, { holderIds: [hila!], fromOn: VALLEY_TODAY })
    expect(refused.html.querySelector('#fromOn-error')).not.toBeNull()
    // Somebody of another plot wants it: a member who holds this one with another is asked, and nobody else.
    const plots = await listPlots(valley.db, VALLEY_TODAY)
    const toPlotId = plots.find(({ holders }) => holders.every(({ id }) => id !== hila && id !== isko))!.id
    const swap = { weekStartOn: '2026-11-23', turnId: turn.bookId, otherTurnId: null, toPlotId, payer: 'holder' }
    await valley.db.transaction().execute((trx) => {
      const pen = { trx, writtenBy: amaru!, writtenAt: `${VALLEY_TODAY}T06:00:00.000Z` } as const
      return appendEntry(pen as never, { kind: 'turn-swap' }, { turnSwap: [swap as never] })
    })
    const asked: string[] = []
    for (const name of ['hila', 'fanta'])
      if ((await (await valley.signIn(name)).open('/')).words.includes('wants to swap or give')) asked.push(name)
    expect(asked).toEqual(['hila'])
  })
})
