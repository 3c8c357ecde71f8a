import { beforeAll, describe, expect, it } from 'vitest'
import { listTransfers } from '../../server/fees/ledger/transfer-store.ts'
import type { Visitor } from '../support/visitor.ts'
import { linksOf } from '../support/walk.ts'
import { type MoneyBook, moneyBook, told } from './book.ts'

/** Every page inside the book that can be reached by its doors, without leaving a trace. */
async function reachablePages(visitor: Visitor): Promise<Map<string, string>> {
  const pages = new Map<string, string>()
  const waiting = ['/']
  while (waiting.length) {
    const path = waiting.pop()!
    if (pages.has(path)) continue
    const page = await visitor.open(path)
    if (page.status === 403) continue
    pages.set(path, page.text.replace(/\u00a0/g, ' '))
    // Days and weeks go on for ever; the pages of money do not.
    waiting.push(...linksOf(page.text).filter((door) => !/[?]|\/(weeks|days)\//.test(door)))
  }
  return pages
}

describe('what a person has to pay', () => {
  let book: MoneyBook
  let tomo: Visitor
  beforeAll(async () => {
    book = await moneyBook()
    await book.agreedTariff('2026-06-01', 5000)
    // 61.73 m3 at 50 a cubic metre: a sum that stands nowhere by chance.
    await book.deliver({ plotId: book.plotOf.Chidi, volumeM3: 61.73 })
    await book.deliver({ volumeM3: 1 })
    tomo = await book.signedIn('Tomo')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    await tomo.fill('/money/pay', { payerId: book.ids.Chidi, amount: '7.77', column: 'cash' })
  })

  it('stands on no page that a member, the committee or the attendant can reach', async () => {
    const debt = /3,086\.50|3,078\.73|7\.77/
    const visitors = { Bela: await book.signedIn('Bela'), Ada: book.ada, Dela: await book.signedIn('Dela') }
    for (const [name, visitor] of Object.entries(visitors)) {
      const pages = await reachablePages(visitor)
      // Whoever writes at the pump has the log among the tabs; own money is behind the own name.
      expect([...pages.keys()].filter((path) => path.startsWith('/money')).length, name).toBeGreaterThan(0)
      expect(
        [...pages].filter(([, text]) => debt.test(text)).map(([path]) => path),
        name,
      ).toEqual([])
    }
    const seen = await reachablePages(tomo)
    expect([...seen].filter(([, text]) => debt.test(text)).map(([path]) => path)).toContain('/money')
  })

  it('is refused to others on every address of its own, and to nobody by a page that is not there', async () => {
    const charge = (await listTransfers(book.db)).find((transfer) => transfer.amountMinor === 308_650)!
    const own = [
      `/money/members/${book.ids.Chidi}`,
      `/money/members/${book.ids.Chidi}.csv`,
      '/money/receipts/1',
      '/money/receipts/2',
    ]
    const others = ['/money/all-lines.csv', '/money/receipts', '/money/charges', '/money/pay']
    // The committee checks the cash book; over so few payers it shows them no sums.
    expect(told(await book.ada.open('/money/cash-book'))).toContain('so few accounts paid in this period')
    for (const name of ['Bela', 'Dela'] as const) {
      expect((await (await book.signedIn(name)).open('/money/cash-book')).status).toBe(403)
    }
    for (const visitor of [await book.signedIn('Bela'), book.ada, await book.signedIn('Dela')]) {
      for (const path of [...own, `/money/working/charge/${charge.id}`, ...others]) {
        expect((await visitor.open(path)).status, path).toBe(403)
      }
    }
  })

  it('is open to the person itself', async () => {
    const chidi = await book.signedIn('Chidi')
    expect(told(await chidi.open('/money'))).toContain('KES 3,078.73 to pay')
    const statement = await chidi.open(`/money/members/${book.ids.Chidi}`)
    expect(told(statement)).toContain('KES 3,078.73 to pay')
    expect(statement.html.querySelector('a[href^="/log/lines/drawn/"]')).not.toBeNull()
    expect(told(await chidi.open('/money/receipts/1'))).toContain('KES 7.77')
    const working = statement.html.querySelector('a[href^="/money/working/charge/"]')!.getAttribute('href')!
    expect(told(await chidi.open(working))).toMatch(/Amounts in KES .*61\.73 m³.* 50\.00/)
  })

  it('is open to the auditor, who may read but not write', async () => {
    const ines = await book.signedIn('Ines')
    for (const path of [
      '/money',
      '/money/cash-book',
      '/money/receipts',
      '/money/receipts/1',
      `/money/members/${book.ids.Chidi}`,
    ]) {
      expect((await ines.open(path)).status, path).toBe(200)
    }
    for (const path of ['/money/pay', '/money/charges', '/money/price/new', '/money/receipts/1/mend']) {
      expect((await ines.open(path)).status, path).toBe(403)
    }
    expect((await ines.open('/money/receipts/2')).status).toBe(404)
    expect((await ines.open('/money/members/nobody')).status).toBe(404)
  })

  it('leaves the book as plain lists that close', async () => {
    const ledger = (await tomo.agent.get('/money/all-lines.csv')).text.split('\r\n')
    expect(ledger[0]).toContain('Amount KES')
    expect(ledger.filter(Boolean)).toHaveLength(4)
    expect(ledger.find((line) => line.includes(',payment,'))).toMatch(/cash,5 Chidi,7\.77,Receipts of this screen,1,/)
    const statement = await tomo.agent.get(`/money/members/${book.ids.Chidi}.csv`)
    expect(statement.headers['content-type']).toContain('text/csv')
    expect(statement.text.trim().split('\r\n').at(-1)).toMatch(/,0,7\.77,3078\.73,1$/)
  })
})
