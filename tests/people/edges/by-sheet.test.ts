import { describe, expect, it } from 'vitest'
import { listPersons } from '../../../server/people/person/store.ts'
import { listPlots } from '../../../server/people/plot/store.ts'
import { turnBook } from '../../fees/turn-book.ts'
import { startedBook } from '../../support/book.ts'

const TODAY = '2026-07-10'
const ADA = { signInName: 'ada', password: 'a long enough word' }

describe('of the lines of a sheet, in a book that is older than a month', () => {
  it('those that give an office, alone or beside another role, wait for a second officer; the others are taken', async () => {
    const { db, setNow, visitor } = await startedBook('2026-06-04T05:00:00Z')
    setNow(`${TODAY}T05:00:00Z`)
    const ada = visitor()
    await ada.fill('/sign-in', ADA)
    const lines = ['21,Ezo,,T', '22,Fay,,"M, T"', '23,Gil,,M', '24,Hue,,']
    const page = await ada.fill('/paper/many/people', { pasted: lines.join('\n') })
    expect(page.words).toContain('2 rows need to be mended')
    expect((await listPersons(db)).map(({ name }) => name)).toEqual(['Ada', 'Gil', 'Hue'])
  })

  it('those that give land to the own household, alone or beside others, wait for another officer', async () => {
    const book = await turnBook()
    book.setNow(`${TODAY}T05:00:00Z`)
    const ada = book.visitor()
    await ada.fill('/sign-in', ADA)
    const plot = (number: number, who: string) => `${number},Plot ${number},"${who}",300,loam,F,1,1`
    const lines = [plot(31, '1'), plot(32, '4, 1'), plot(33, '4, 5')]
    const page = await ada.fill('/paper/many/plots', { pasted: lines.join('\n') })
    expect(page.words).toContain('2 rows need to be mended')
    expect((await listPlots(book.db, TODAY)).map(({ number }) => number)).toEqual([1, 2, 33])
  })
})
