import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { formatAmount, formatMoney } from '../../domain/money/money.ts'
import { currentGroup } from '../../server/people/group/store.ts'
import { openValley } from '../support/valley.ts'
import type { Seen, Visitor } from '../support/visitor.ts'
import { walk } from '../support/walk.ts'

let valley: Awaited<ReturnType<typeof openValley>>
/** Addresses beside those that doors lead to, so that nothing is kept back by a missing door alone. */
let addresses: string[]
let phones: { entryId: string; phone: string; signInName: string | null }[]
let amounts: string[]
beforeAll(async () => {
  valley = await openValley()
  const { db } = valley
  const { currency } = (await currentGroup(db))!
  // Everybody gets an invented number; the example has none.
  await sql`drop trigger person_no_update`.execute(db)
  await sql`update person set phone = '+99 700 100' || (100 + number)`.execute(db)
  const persons = await db.selectFrom('person').select(['entryId', 'phone', 'signInName']).execute()
  phones = persons.flatMap(({ phone, ...person }) => (phone === null ? [] : [{ ...person, phone }]))
  const fixes = await db.selectFrom('faultFix').select(['entryId', 'costMinor']).execute()
  const vouchers = await db.selectFrom('voucher').select('amountMinor').execute()
  const transfers = await db.selectFrom('transfer').select('amountMinor').execute()
  const all = [
    ...fixes.map(({ costMinor }) => costMinor ?? 0),
    ...[...vouchers, ...transfers].map((one) => one.amountMinor),
  ]
  const told = all.filter((amountMinor) => amountMinor > 0)
  const sums = told.map((amountMinor) => formatMoney({ amountMinor, currency, locale: 'en' }))
  // Rows hold bare figures; the table or list that they stand in says this.
  amounts = [...new Set([...sums, `Amounts in ${currency}`])]
  const turns = await db.selectFrom('turn').select('id').orderBy('onDate', 'desc').limit(12).execute()
  addresses = [
    ...persons.map(({ entryId }) => `/people/${entryId}`),
    ...turns.map(({ id }) => `/turns/${id}?as=message`),
    ...fixes.map(({ entryId }) => `/log/lines/mended/${entryId}`),
    '/log/lines/mended',
    '/log/faults',
    '/money/report',
  ]
})

async function pagesOf(visitor: Visitor): Promise<Seen[]> {
  const pages = await walk(visitor, { pagesOfAKind: 1 })
  for (const address of addresses) pages.push(await visitor.open(address))
  return pages.filter(({ status }) => status === 200)
}

/** Whether a page says a text: in its words or, as a message does, in an address with its signs taken out. */
function says({ text, words }: Seen, secret: string): boolean {
  const plain = secret.replaceAll(/[^+\d]/g, '')
  return (
    words.includes(secret.replaceAll(/\s+/g, ' ')) ||
    text.includes(secret) ||
    (plain.length > 6 && text.includes(plain))
  )
}

const found = (pages: readonly Seen[], secrets: readonly string[]) =>
  pages.flatMap((page) => secrets.filter((secret) => says(page, secret)).map((secret) => `${page.path}: ${secret}`))

describe('what a role may not see', () => {
  it('has something to keep', () => {
    expect(phones.length).toBeGreaterThan(5)
    expect(amounts.length).toBeGreaterThan(5)
  })

  it('stands on no page of a neighbour: no sum of money, no telephone number', async () => {
    const pages = await pagesOf(await valley.signIn('isko'))
    expect(pages.length).toBeGreaterThan(40)
    const others = phones.filter(({ signInName }) => signInName !== 'isko').map(({ phone }) => phone)
    expect(found(pages, [...others, ...amounts])).toEqual([])
  })

  it('stands on no page of a member: no number of anybody else, and not what a mending cost', async () => {
    const pages = await pagesOf(await valley.signIn('hila'))
    const others = phones.filter(({ signInName }) => signInName !== 'hila').map(({ phone }) => phone)
    expect(found(pages, others)).toEqual([])
    const own = phones.find(({ signInName }) => signInName === 'hila')
    if (own) expect(found(pages, [own.phone]).length).toBeGreaterThan(0)
    const costs = pages.filter(({ path }) => /^\/(works|log\/(faults|lines))\b/.test(path))
    expect(costs.length).toBeGreaterThan(2)
    expect(found(costs, amounts)).toEqual([])
  })

  it('is read by those who call people and pay for mendings', async () => {
    const dovi = await valley.signIn('dovi')
    const other = phones.find(({ signInName }) => signInName !== 'dovi')!
    expect((await dovi.open(`/people/${other.entryId}`)).words).toContain(other.phone)
    const fix = await valley.db
      .selectFrom('faultFix')
      .select(['entryId', 'costMinor'])
      .where('costMinor', 'is not', null)
      .executeTakeFirstOrThrow()
    const { currency } = (await currentGroup(valley.db))!
    const { html } = await dovi.open('/log/faults')
    expect(html.querySelector('caption')!.text).toContain(`Amounts in ${currency}`)
    const costs = html
      .querySelectorAll('tbody tr')
      .map((row) => row.querySelectorAll('td').at(-1)?.firstChild?.text.trim())
    expect(costs).toContain(formatAmount({ amountMinor: fix.costMinor!, currency }))
  })
})
