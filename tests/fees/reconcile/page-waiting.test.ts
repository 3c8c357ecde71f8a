import { beforeEach, describe, expect, it } from 'vitest'
import { addOutcome } from '../../../server/rotation/outcome/store.ts'
import type { Visitor } from '../../support/visitor.ts'
import { told } from '../book.ts'
import { type TurnBook, turnBook } from '../turn-book.ts'

const MONTH = '/money/agree?period=month&on=2026-06-04'

let book: TurnBook
let tomo: Visitor
beforeEach(async () => {
  book = await turnBook()
  tomo = await book.signedIn('Tomo')
})

async function agreed(parts: Record<string, string>): Promise<void> {
  const tariff = await tomo.fill('/money/price/new', { fromOn: '2026-06-01', perM3: '50', ...parts })
  await book.ada.fill(tariff.path, {}, { action: tariff.path })
}

/** What stands under “Waits to be charged”; whatever does not agree would stand above it. */
const look = async () => {
  const words = told(await tomo.open(MONTH))
  expect(words).toContain('Nothing of what could be checked.')
  return words.split('Waits to be charged')[1] ?? ''
}
const post = () => tomo.fill('/money/charges', {}, { action: '/money/charges' })

describe('what waits to be posted', () => {
  it('is a matter of its own for turns that were not used, and again when one has to be given back', async () => {
    await agreed({ perNoShow: '12.50' })
    await book.turn('t1')
    await book.turn('t2', { plotId: book.plotOf.Chidi })
    await book.say('t1', 'no-show')
    await book.say('t2', 'no-show')
    await book.heard('t1')
    await book.heard('t2')
    const open = await tomo.open(MONTH)
    expect(told(open)).toContain('2 turns that were not used wait to be charged: KES 25.00.')
    expect(open.html.querySelector('.findings a[href="/money/charges"]')).not.toBeNull()
    expect(told(open)).not.toMatch(/Bela|Chidi/)
    expect(told(await tomo.open('/money/agree?period=month&on=2026-05-04'))).not.toContain('not used')
    await post()
    expect(await look()).not.toContain('not used')
    await book.as('Dela', (pen) => addOutcome(pen, { turnId: 't1', cause: 'excused', standInId: null, words: 'ill' }))
    expect(await look()).toContain('1 turn was charged as not used and turned out otherwise: KES 12.50 to give back.')
  })

  it('is named for a charged delivery that was struck out, or belongs to another member since', async () => {
    await agreed({})
    const first = await book.deliver()
    const second = await book.deliver({ volumeM3: 2 })
    await post()
    expect(await look()).not.toContain('give back')
    await book.strike(first, 'written twice')
    expect(await look()).toContain('1 delivery was charged and then struck out: KES 200.00 to give back.')
    const moved = { plotId: book.plotOf.Chidi, volumeM3: 2 }
    await book.deliver(moved, { correctsId: second, reason: 'the other plot' })
    expect(await look()).toContain(
      '1 delivery is charged to one member and belongs, as corrected, to another: KES 100.00.',
    )
    await post()
    expect(await look()).not.toMatch(/give back|to another/)
  })

  it('is named for fees that fell due, and leads to the plots of their working', async () => {
    await agreed({ perShare: '20', perShareEvery: 'month' })
    expect(await look()).toContain('2 charges by month, season or share wait to be charged: KES 40.00.')
    const working = (await tomo.open('/money/charges?as=fees')).html.querySelector('a[href^="/money/working/fee/"]')!
    const plot = (await tomo.open(working.getAttribute('href')!)).html.querySelector('main a[href^="/people/plots/"]')!
    expect((await tomo.open(plot.getAttribute('href')!)).status).toBe(200)
    await tomo.fill('/money/charges?as=fees', {}, { action: '/money/charges?as=fees' })
    expect(await look()).not.toContain('month, season or share')
  })
})

describe('the page of a closing', () => {
  it('shows no sums of money to the committee where fewer than five accounts paid, and shows them to the treasurer', async () => {
    await agreed({})
    await book.deliver()
    await post()
    const form = await tomo.open('/money/pay')
    await tomo.send(form, { payerId: book.ids.Bela, amount: '70', column: 'cash' })
    book.setNow('2026-06-30T18:00:00Z')
    tomo = await book.signedIn('Tomo')
    for (const note of await explainable()) await tomo.fill(note, { words: 'not counted in this month' })
    const closing = await tomo.fill('/money/agree/close?period=month&on=2026-06-30', {})
    expect(told(closing)).toContain('Receipts −70.00')
    await book.ada.fill('/sign-in', { signInName: 'ada', password: 'a long enough word' })
    const seen = told(await book.ada.open(closing.path))
    expect(seen).toContain('so few accounts paid in this period')
    expect(seen).not.toMatch(/KES|\d\.\d\d\b|%/)
    expect(seen).toContain('Delivered in all')
  })

  async function explainable(): Promise<string[]> {
    const links = (await tomo.open('/money/agree?period=month&on=2026-06-30')).html.querySelectorAll(
      'a[href^="/money/settle/finding"]',
    )
    return links.map((link) => link.getAttribute('href')!.replaceAll('&amp;', '&'))
  }
})

describe('the first page', () => {
  it('says to the treasurer what waits to be charged, with the way there, and calls none of it a difference', async () => {
    await agreed({ perShare: '20', perShareEvery: 'month' })
    await book.deliver()
    await book.deliver({ volumeM3: 2 })
    const home = await tomo.open('/')
    const doorTo = (href: string) => home.html.querySelector(`a[href="${href}"]`)?.text
    expect(doorTo('/money/charges')).toContain('2 deliveries wait to be charged')
    expect(doorTo('/money/charges?as=fees')).toContain('2 charges by month, season or share wait to be charged')
    expect(home.words).not.toContain('What does not agree')
    await post()
    await tomo.fill('/money/charges?as=fees', {}, { action: '/money/charges?as=fees' })
    expect((await tomo.open('/')).words).not.toContain('to be charged')
  })
})
