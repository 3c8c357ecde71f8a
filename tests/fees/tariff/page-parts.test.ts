import { describe, expect, it } from 'vitest'
import { drawsAndMoney } from '../../../server/fees/charge/reckoning.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { addPlot, setHolders } from '../../../server/people/plot/store.ts'
import { answersOf } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'

const FROM = '2026-06-01'
const HALF_SHARE = { areaM2: 200, soil: 'sandy_loam', method: 'drip', shares: 0.5, outletIds: [] }

/** Sets a tariff on the page and has Ada agree to it. */
async function agreed(book: MoneyBook, fields: Record<string, string>) {
  const tomo = await book.signedIn('Tomo')
  const tariff = await tomo.fill('/money/price/new', { fromOn: FROM, perM3: '50', ...fields })
  await book.ada.fill(tariff.path, {}, { action: tariff.path })
  return { tomo, tariff: await tomo.open(tariff.path) }
}

describe('a tariff', () => {
  it('in blocks counts the volume of the month and begins anew in the next', async () => {
    const book = await moneyBook()
    const { tomo, tariff } = await agreed(book, { firstUpToM3: '5', secondPerM3: '80' })
    expect(told(tariff)).toContain('KES 50.00 for 1 m³ up to 5 m³ in a month; KES 80.00 for each m³ above that')
    await book.deliver({ onDate: '2026-06-01' })
    await book.deliver({ onDate: '2026-06-02' })
    // 4 m3 at 50; then 1 at 50 and 3 at 80.
    expect(told(await tomo.open('/money/charges'))).toContain('4 Bela 490.00')
    book.setNow('2026-07-02T05:00:00Z')
    await book.deliver({ onDate: '2026-07-01' })
    expect(told(await (await book.signedIn('Tomo')).open('/money/charges'))).toContain('4 Bela 690.00')
  })

  it('in blocks prices a slip that was found late behind those already charged, and a corrected one in its place', async () => {
    const book = await moneyBook()
    const { tomo } = await agreed(book, { firstUpToM3: '5', secondPerM3: '80' })
    const first = await book.deliver({ onDate: '2026-06-02' })
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    await book.deliver({ onDate: '2026-06-01' })
    // 4 m3 at 50 are charged; 8 m3 in all are 5 at 50 and 3 at 80, so 1 at 50 and 3 at 80 are due.
    expect(told(await tomo.open('/money/charges'))).toContain('4 Bela 290.00')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    expect(
      (await drawsAndMoney(book.db, { toOn: '2026-06-04' })).draws.map((one) => [one.dueMinor, one.postedMinor]),
    ).toEqual([
      [29_000, 29_000],
      [20_000, 20_000],
    ])
    await book.deliver({ onDate: '2026-06-02', volumeM3: 3 }, { correctsId: first, reason: 'read again' })
    // 3 m3 at 50 instead of 4.
    expect(told(await tomo.open('/money/charges'))).toContain('−50.00')
  })

  it('by the pump hour counts the hours that passed, not those that the clock shows when it is set', async () => {
    const book = await moneyBook()
    await book.ada.fill('/works/group', { timeZone: 'America/Los_Angeles' })
    await agreed(book, { perM3: '10', perPumpHour: '30', fromOn: '2026-11-01' })
    book.setNow('2026-11-02T20:00:00Z')
    // From half past midnight to half past three the clocks go back an hour: four hours.
    await book.deliver({ onDate: '2026-11-01', startTime: '00:30', endTime: '03:30' })
    expect(told(await (await book.signedIn('Tomo')).open('/money/charges'))).toContain('4 Bela 160.00')
  })

  it('by the pump hour and the turn is mixed with the volume, and the working names each part', async () => {
    const book = await moneyBook()
    const { tomo } = await agreed(book, { perM3: '10', perPumpHour: '30', perTurn: '5' })
    await book.deliver({ startTime: '09:00', endTime: '10:30' })
    // 4 m3 at 10, 1.5 h at 30, one turn at 5.
    expect(told(await tomo.open('/money/charges'))).toContain('4 Bela 90.00')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    const [charge] = await listTransfers(book.db)
    const working = told(await tomo.open(`/money/working/charge/${charge!.id}`))
    expect(working).toMatch(/4 m³ 40.00 .* 1.5 h of the pump 45.00 .* 1 of a turn 5.00/)
  })

  it('has another price for tenants and the school, from the written day on', async () => {
    const book = await moneyBook()
    const { tomo } = await agreed(book, { tenantPerM3: '60', schoolPerM3: '0' })
    await tomo.fill('/money/settle/pays-as', { personId: book.ids.Bela, payerClass: 'tenant', fromOn: '2026-06-02' })
    await tomo.fill('/money/settle/pays-as', { personId: book.ids.Chidi, payerClass: 'school', fromOn: FROM })
    await book.deliver({ onDate: '2026-06-01', volumeM3: 1 })
    await book.deliver({ onDate: '2026-06-02', volumeM3: 1 })
    await book.deliver({ onDate: '2026-06-02', plotId: book.plotOf.Chidi, volumeM3: 1 })
    const due = told(await tomo.open('/money/charges'))
    expect(due).toContain('4 Bela 110.00')
    expect(due).not.toContain('Chidi')
  })

  it('with a flat price and a price by share posts each once, and a new month brings a new one', async () => {
    const book = await moneyBook()
    const { tomo } = await agreed(book, { flat: '20', flatEvery: 'month', perShare: '15', perShareEvery: 'season' })
    const due = await tomo.open('/money/charges?as=fees')
    expect(told(due)).toMatch(/4 Bela 1 share, season of 1 Jun 2026 15.00|4 Bela flat price, month of 1 Jun 2026 20.00/)
    expect(told(due)).toContain('Write these 4 charges: KES 70.00')
    await tomo.send(due, {})
    expect(told(await tomo.open('/money/charges?as=fees'))).toContain('No such charge waits')
    expect((await tomo.send({ ...due, text: '' }, {})).path).toBe('/money')
    expect(await listTransfers(book.db)).toHaveLength(4)
    book.setNow('2026-07-03T05:00:00Z')
    const july = told(await (await book.signedIn('Tomo')).open('/money/charges?as=fees'))
    expect(july).toContain('Write these 2 charges: KES 40.00')
    const statement = told(await (await book.signedIn('Bela')).open(`/money/members/${book.ids.Bela}`))
    expect(statement).toContain('flat price, month of 1 Jun 2026')
  })

  it('beside a fee stays the price that was written, where few litres are rounded to a coin', async () => {
    const book = await moneyBook()
    const { tomo } = await agreed(book, { perM3: '0.50', flat: '10', flatEvery: 'month' })
    await book.deliver({ onDate: '2026-06-01', volumeM3: 0.07 })
    expect(told(await tomo.open('/money/charges'))).toContain('0.07 0.50 0.04')
  })

  it('by hectare costs each holder the ground of the plot, is carried into the next price, and asks how often', async () => {
    const book = await moneyBook()
    const { tomo } = await agreed(book, { perHectare: '400', perHectareEvery: 'season' })
    // Two plots of the same ground: the area of each, in hectares of 10,000 m2, at 400.
    const { areaM2 } = await book.db.selectFrom('plotDetail').select('areaM2').executeTakeFirstOrThrow()
    const each = ((areaM2 / 10_000) * 400).toFixed(2)
    expect(told(await tomo.open('/money/charges?as=fees'))).toMatch(
      new RegExp(`4 Bela [\\d.]+ ha, season of 1 Jun 2026 ${each}`),
    )
    const next = await tomo.open('/money/price/new')
    expect(next.html.querySelector('[name=perHectare]')!.getAttribute('value')).toBe('400.00')
    expect(answersOf(next, 'perHectareEvery').find(({ holds }) => holds)?.value).toBe('season')
    const half = await tomo.send(next, { fromOn: '2026-07-01', perHectareEvery: '' })
    expect(half.html.querySelector('#perHectareEvery-error')).not.toBeNull()
  })

  it('by hectare charges nothing for ground that nobody has taped, and names the plot before anything is posted', async () => {
    const book = await moneyBook()
    const plot = { ...HALF_SHARE, fromOn: FROM, number: 3, name: 'Third', areaM2: null, holderIds: [book.ids.Bela] }
    await book.as('Ada', (pen) => addPlot(pen, plot))
    const { tomo } = await agreed(book, { perHectare: '400', perHectareEvery: 'season' })
    const due = told(await tomo.open('/money/charges?as=fees'))
    expect(due).toContain('This plot has not been taped, so nothing is charged for its ground')
    expect(due).toContain('3 Third')
    // Bela's other plot alone, as it is taped.
    const { areaM2 } = await book.db.selectFrom('plotDetail').select('areaM2').executeTakeFirstOrThrow()
    expect(due).toContain(`4 Bela ${areaM2 / 10_000} ha, season of 1 Jun 2026 ${((areaM2 / 10_000) * 400).toFixed(2)}`)
  })

  it('by share splits the sum of all shares to the last coin, and each fee opens to its working', async () => {
    const book = await moneyBook()
    const half = { ...HALF_SHARE, fromOn: FROM }
    await book.as('Ada', (pen) => addPlot(pen, { ...half, number: 3, name: 'Third', holderIds: [book.ids.Bela] }))
    await book.as('Ada', (pen) => addPlot(pen, { ...half, number: 4, name: 'Fourth', holderIds: [book.ids.Chidi] }))
    const { tomo } = await agreed(book, { perShare: '0.05', perShareEvery: 'season' })
    // 3 shares at 0.05 are 0.15; one and a half each would be 0.075.
    const due = await tomo.open('/money/charges?as=fees')
    expect(told(due)).toContain('Write these 2 charges: KES 0.15')
    const waiting = due.html.querySelector('a[href^="/money/working/fee/"]')!.getAttribute('href')!
    expect(told(await tomo.open(waiting))).toContain('1.5 shares of it 0.08')
    await tomo.send(due, {})
    const bela = await book.signedIn('Bela')
    const statement = await bela.open(`/money/members/${book.ids.Bela}`)
    const charge = statement.html.querySelector('a[href^="/money/working/charge/"]')!.getAttribute('href')!
    const working = told(await bela.open(charge))
    expect(working).toMatch(/Who pays 4 Bela .* Pays as Everyone .* 0.05 for a share every season 1 Jun 2026/)
    expect(working).toMatch(/plot 1 Plot 1 1 share, 400 m² plot 3 Third 0.5 shares, 200 m²/)
    expect(working).toMatch(/3 shares of all who pay this price 0.15 .* 1.5 shares of it 0.08/)
    const chidis = (await listTransfers(book.db)).find(({ amountMinor }) => amountMinor === 7)!
    expect((await bela.open(`/money/working/charge/${chidis.id}`)).status).toBe(403)
  })

  it('by share counts of a plot that two hold the written part of each, and says so to both', async () => {
    const book = await moneyBook()
    const shared = { ...HALF_SHARE, shares: 1, fromOn: FROM, number: 3, name: 'Third' }
    const both = [book.ids.Bela, book.ids.Chidi]
    const plotId = await book.as('Ada', (pen) => addPlot(pen, { ...shared, holderIds: both }))
    await book.as('Ada', (pen) => setHolders(pen, plotId, both, FROM, [0.75, 0.25]))
    const { tomo } = await agreed(book, { perShare: '1', perShareEvery: 'season' })
    const due = await tomo.open('/money/charges?as=fees')
    // Each holds one plot of one share, and of the third three quarters or one; it is of 200 m2.
    const workings = due.html
      .querySelectorAll('a[href^="/money/working/fee/"]')
      .map((door) => door.getAttribute('href')!)
    const words = await Promise.all(workings.map(async (href) => told(await tomo.open(href))))
    const of = (name: string) => words.find((one) => one.includes(`Who pays ${name}`))!
    expect(of('4 Bela')).toMatch(/plot 3 Third 0.75 shares, 150 m² 75% of the plot, as it is written/)
    expect(of('4 Bela')).toContain('1.75 shares of it')
    expect(words.find((one) => one.includes('Chidi'))).toMatch(/plot 3 Third 0.25 shares, 50 m² 25% of the plot/)
  })

  it.each([
    [{ firstUpToM3: '5' }, 'secondPerM3', 'A block needs both'],
    [{ firstUpToM3: '5', secondPerM3: '6', secondUpToM3: '4', thirdPerM3: '7' }, 'secondUpToM3', 'must go further'],
    [{ flat: '5' }, 'flatEvery', 'Choose one'],
  ])('typed as %j says beside %s what is missing', async (fields, field, words) => {
    const book = await moneyBook()
    const page = await (await book.signedIn('Tomo')).fill('/money/price/new', {
      fromOn: FROM,
      perM3: '50',
      ...fields,
    })
    expect(page.html.querySelector(`#${field}-error`)?.text).toContain(words)
    expect(await book.db.selectFrom('tariff').selectAll().execute()).toEqual([])
  })
})
