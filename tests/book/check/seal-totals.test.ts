import { scryptSync } from 'node:crypto'
import { expect, it } from 'vitest'
import { findSeal, listSeals, sealFaults, setSeal } from '../../../server/book/check/seal.ts'
import { appendEntry } from '../../../server/book/entries.ts'
import { moneyBook } from '../../fees/book.ts'

/** As published: scrypt over the lines of a seal, of which the last 32 decimal digits are shown. */
function digitsOf(said: (string | number)[]): string {
  const bytes = scryptSync(said.join('\n'), 'commonweir seal 1', 32, { N: 16_384, r: 8, p: 1 })
  return String(BigInt(`0x${bytes.toString('hex')}`) % 10n ** 32n).padStart(32, '0')
}

it('a seal whose digits fit what it says is refused where one of its totals is not the book’s', async () => {
  const book = await moneyBook()
  await book.deliver()
  await book.as('Ada', setSeal)
  const [seal] = await listSeals(book.db)
  const { lastHash, entries, draws, drawnLitres, receipts, receivedMinor } = seal!
  expect([seal!.digits, draws]).toEqual([digitsOf([lastHash, entries, draws, drawnLitres, receipts, receivedMinor]), 1])
  expect(await sealFaults(book.db)).toEqual([])
  // One litre less than was drawn.
  const said = { lastHash, entries, draws, drawnLitres: drawnLitres - 1, receipts, receivedMinor }
  const digits = digitsOf(Object.values(said))
  const id = await book.as('Ada', (pen) => appendEntry(pen, { kind: 'week-seal' }, { weekSeal: [{ ...said, digits }] }))
  expect(await sealFaults(book.db)).toEqual([{ code: 'seal', values: { entry: id } }])
  expect((await findSeal(book.db, seal!.digits))?.id).toBe(seal!.id)
})

it('the first page says from the eighth day after a seal on that it is time for the next', async () => {
  const book = await moneyBook()
  await book.as('Ada', setSeal)
  const isTime = async (day: string) => {
    book.setNow(`${day}T05:00:00Z`)
    const ada = book.visitor()
    await ada.fill('/sign-in', { signInName: 'ada', password: 'a long enough word' })
    return (await ada.open('/')).words.includes('time for the next one')
  }
  expect([await isTime('2026-06-11'), await isTime('2026-06-12')]).toEqual([false, true])
})
