import { beforeEach, describe, expect, it } from 'vitest'
import { cropPlans } from '../../server/crops/plan/store.ts'
import { standingWeek } from '../../server/rotation/outcome/standing-week.ts'
import { laidSwap } from '../../server/rotation/swap/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { optionValue, type Seen, type Visitor } from '../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from './book.ts'

const HEADING = 'waits for your name or your word'
const asked = (page: Seen) =>
  page.html
    .querySelectorAll('main a')
    .filter((link) => link.closest('ol') === null) // The steps of a new book stand beside what waits.
    .map(({ text }) => text)
    .join(' ')
    .replace(/\s+/g, ' ')

describe('the first page', () => {
  let book: MoneyBook
  let tomo: Visitor
  beforeEach(async () => {
    book = await moneyBook()
    tomo = await book.signedIn('Tomo')
    const opening = await tomo.open('/money/settle/from-before')
    await tomo.send(opening, { accountId: optionValue(opening, 'accountId', 'cash'), amount: '500' })
  })

  it('lists a price, a voucher, the reserve and a count that wait for this person, and drops what has its name', async () => {
    const tariff = await tomo.fill('/money/price/new', { fromOn: '2026-06-05', perM3: '50' })
    const voucher = { payee: 'a smith', purpose: 'gland', category: 'repairs', amount: '80', column: 'cash' }
    await tomo.fill('/money/vouchers/new', voucher)
    await tomo.fill('/money/move?as=pump', { amount: '120', words: 'by minute 4' })
    const count = await tomo.open('/money/count')
    await tomo.send(count, { counted: '500', secondId: optionValue(count, 'secondId', 'Ada') })
    const waiting = asked(await book.ada.open('/'))
    for (const matter of ['the price of water from 5 Jun 2026', 'voucher 1', 'KES 120.00 to be put into the reserve']) {
      expect(waiting).toContain(matter)
    }
    expect(waiting).toContain('the cash that you counted with Tomo on 4 Jun 2026')
    const counted = await countPath(book)
    expect(told(await book.ada.open(counted))).toContain('By the book it is: agrees to the last coin.')
    await book.ada.fill(counted, {}, { action: counted })
    await book.ada.fill(tariff.path, {}, { action: tariff.path })
    const after = asked(await book.ada.open('/'))
    expect(after).not.toContain('you counted')
    expect(after).not.toContain('price of water')
    expect(after).toContain('voucher 1')
    // Nobody is asked for what they wrote, nor for what is not theirs to decide.
    for (const name of ['Tomo', 'Bela', 'Dela', 'Ines'] as const) {
      expect(told(await (await book.signedIn(name)).open('/'))).not.toContain(HEADING)
    }
  })

  it('does not ask for a price that can no longer come into force', async () => {
    await book.agreedTariff('2026-06-01', 5000)
    await tomo.fill('/money/price/new', { fromOn: '2026-06-02', perM3: '60' })
    expect(asked(await book.ada.open('/'))).toContain('the price of water from 2 Jun 2026')
    await book.deliver({ onDate: '2026-06-02' })
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    expect(asked(await book.ada.open('/'))).not.toContain('the price of water')
  })

  it('has a door to the rates for labour and produce, beside taking it', async () => {
    const money = await tomo.open('/money')
    expect(money.html.querySelector('a[href="/money/price?as=work"]')?.text).toBe('Rates for labour and produce')
    expect((await tomo.open('/money/price?as=work')).html.querySelector('a[href="/money/settle/work"]')).not.toBeNull()
    const rate = { kind: 'labour', name: 'day of work', price: '9', minute: 'minute 7' }
    expect(told(await tomo.fill('/money/settle/work', rate))).toMatch(
      /day of work labour 9.00 4 Jun 2026 minute 7 not yet written in the decisions book in force/,
    )
    expect(
      (await (await book.signedIn('Bela')).open('/money/price?as=work')).html.querySelector(
        'a[href="/money/settle/work"]',
      ),
    ).toBeNull()
  })
})

async function countPath({ db }: MoneyBook): Promise<string> {
  const { entryId } = await db.selectFrom('cashCount').select('entryId').executeTakeFirstOrThrow()
  return `/money/names/count/${entryId}`
}

describe('the first page of a holder', () => {
  it('lists a turn that somebody wants to give, until the holder has spoken', async () => {
    const valley = await openValley()
    const { standing, inputs } = (await standingWeek(valley.db, '2026-11-23'))!
    const cropped = new Set(
      (await cropPlans(valley.db)).filter(({ endedOn }) => endedOn === null).map((one) => one.plotId),
    )
    const own = inputs.plots.find(({ id, holders }) => holders.includes('Besi Okuru') && cropped.has(id))!
    const others = standing.filter(({ on, plotId }) => on >= VALLEY_TODAY && plotId !== own.id)
    const [given] = await possible(valley, others, own.id)
    const amaru = await valley.signIn('amaru')
    await amaru.fill(`/turns/${given!.bookId}/otherwise?as=swap`, { toPlotId: own.id, payer: 'taker' })
    const besi = await valley.signIn('besi')
    const words = /a turn of .* that Amaru Tolle wants to swap or give/
    expect(asked(await besi.open('/'))).toMatch(words)
    const swaps = await besi.open('/turns/asked?as=swaps')
    const form = swaps.html.querySelectorAll('main form').find((one) => one.toString().includes(own.id))!
    await besi.send(swaps, { plotId: own.id }, form.getAttribute('action')!)
    expect(asked(await besi.open('/'))).not.toMatch(words)
  })
})

async function possible(
  { db }: Awaited<ReturnType<typeof openValley>>,
  turns: NonNullable<Awaited<ReturnType<typeof standingWeek>>>['standing'],
  toPlotId: string,
) {
  const found = []
  for (const turn of turns) {
    const swap = { weekStartOn: '2026-11-23', turnId: turn.bookId, otherTurnId: null, toPlotId }
    if ('turns' in (await laidSwap(db, swap))) found.push(turn)
  }
  return found
}
