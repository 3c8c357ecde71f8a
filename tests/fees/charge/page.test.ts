import { sql } from 'kysely'
import { describe, expect, it } from 'vitest'
import { inspectBook } from '../../../server/book/check/inspect.ts'
import { postCharges } from '../../../server/fees/charge/store.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { moneyBook, TODAY, told } from '../book.ts'

const FROM = '2026-06-01'

describe('charges', () => {
  it('are shown per person before they are posted, with estimates marked, and people and animals drink free', async () => {
    const { agreedTariff, deliver, signedIn, plotOf } = await moneyBook()
    await agreedTariff(FROM, 5000)
    await deliver()
    await deliver({ plotId: plotOf.Chidi, volumeM3: 2.5, grade: 'estimated' })
    await deliver({ use: 'drinking', plotId: null, volumeM3: 1 })
    await deliver({ use: 'stock', plotId: null, volumeM3: 1 })
    const tomo = await signedIn('Tomo')
    const preview = await tomo.open('/money/charges')
    expect(told(preview)).toContain('4 Bela 200.00')
    expect(told(preview)).toMatch(/5 Chidi 125.00 .* \(estimated\) 2.5 50.00/)
    expect(told(preview)).toContain('Write these 2 charges: KES 325.00')
    const after = await tomo.send(preview, {}, '/money/charges')
    expect(told(after)).toContain('Nothing waits to be charged')
    expect(told(after)).toMatch(/4 Bela 200.00/)
  })

  it('go to the taker where one is named, else to the holder of the plot on that day', async () => {
    const { agreedTariff, deliver, signedIn, ids } = await moneyBook()
    await agreedTariff(FROM, 5000)
    await deliver({ takerId: ids.Chidi })
    const preview = told(await (await signedIn('Tomo')).open('/money/charges'))
    expect(preview).toContain('5 Chidi 200.00')
    expect(preview).not.toContain('Bela')
  })

  it('are never posted twice, whoever posts and however often', async () => {
    const { agreedTariff, as, db, deliver } = await moneyBook()
    await agreedTariff(FROM, 5000)
    const draw = await deliver()
    const post = () => as('Tomo', (pen) => postCharges(pen, { toOn: TODAY, onDate: TODAY }))
    await Promise.all([post(), post(), post()])
    const transfers = await listTransfers(db)
    expect(transfers.map(({ amountMinor, abstractionId }) => [amountMinor, abstractionId])).toEqual([[20_000, draw]])
  })

  it('are shown again when the log has changed since the page was opened', async () => {
    const { agreedTariff, db, deliver, signedIn } = await moneyBook()
    await agreedTariff(FROM, 5000)
    await deliver()
    const tomo = await signedIn('Tomo')
    const preview = await tomo.open('/money/charges')
    await deliver({ volumeM3: 1 })
    const again = await tomo.send(preview, {}, '/money/charges')
    expect(again.status).toBe(409)
    expect(told(again)).toContain('Something in the log has changed')
    expect(await listTransfers(db)).toEqual([])
    await tomo.send(again, {}, '/money/charges')
    expect(await listTransfers(db)).toHaveLength(2)
  })

  it('are shown again when two changes since then cancel each other, line count and sum being the same', async () => {
    const { agreedTariff, db, deliver, signedIn, plotOf } = await moneyBook()
    await agreedTariff(FROM, 5000)
    const [more, less] = [await deliver(), await deliver({ plotId: plotOf.Chidi })]
    const tomo = await signedIn('Tomo')
    const preview = await tomo.open('/money/charges')
    await deliver({ volumeM3: 5 }, { correctsId: more, reason: 'misread' })
    await deliver({ plotId: plotOf.Chidi, volumeM3: 3 }, { correctsId: less, reason: 'misread' })
    const again = await tomo.send(preview, {}, '/money/charges')
    expect(again.status).toBe(409)
    expect(told(again)).toContain('Something in the log has changed')
    expect(await listTransfers(db)).toEqual([])
  })

  it('name the days without a price and the deliveries without a payer, and charge nothing for them', async () => {
    const { agreedTariff, deliver, signedIn } = await moneyBook()
    await agreedTariff('2026-06-03', 5000)
    await deliver({ onDate: '2026-06-02' })
    await deliver({ onDate: '2026-06-03', plotId: null })
    const preview = told(await (await signedIn('Tomo')).open('/money/charges'))
    expect(preview).toMatch(/Without a price .* 2 Jun 2026, plot 1 Plot 1, 4 m³/)
    expect(preview).toMatch(/Without a payer .* 3 Jun 2026, irrigation, 4 m³/)
    expect(preview).toContain('Nothing waits to be charged')
  })

  it('price drinking water too where the group says so', async () => {
    const { agreedTariff, deliver, signedIn, ids } = await moneyBook()
    await agreedTariff(FROM, 5000, false)
    await deliver({ use: 'stock', plotId: null, takerId: ids.Chidi, volumeM3: 1 })
    expect(told(await (await signedIn('Tomo')).open('/money/charges'))).toContain('5 Chidi 50.00')
  })
})

describe('a delivery corrected after it was charged', () => {
  it('gets a follow-up line and leaves the first charge as it was', async () => {
    const { agreedTariff, db, deliver, signedIn, ids } = await moneyBook()
    await agreedTariff(FROM, 5000)
    const draw = await deliver()
    const tomo = await signedIn('Tomo')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    const [first] = await listTransfers(db)
    await deliver({ volumeM3: 3 }, { correctsId: draw, reason: 'two digits swapped' })
    const preview = await tomo.open('/money/charges')
    expect(told(preview)).toContain('follow-up of a correction: two digits swapped')
    expect(told(preview)).toContain('−50.00')
    await tomo.send(preview, {}, '/money/charges')
    const transfers = await listTransfers(db)
    expect(transfers[0]).toEqual(first)
    expect(transfers[1]).toMatchObject({ kind: 'correction', amountMinor: 5000, correctsId: first!.id })
    const statement = await (await signedIn('Bela')).open(`/money/members/${ids.Bela}`)
    expect(told(statement)).toContain('KES 150.00 to pay')
    expect(told(statement)).toMatch(/Follow-up: 3 m³ on 2 Jun 2026, plot 1 Plot 1 \(two digits swapped\)/)
    expect(told(await tomo.open('/money/charges'))).toContain('Nothing waits to be charged')
    const working = told(await tomo.open(`/money/working/charge/${transfers[1]!.id}`))
    expect(working).toMatch(/KES 50.00 was given back .* Due for this delivery 150.00 Charged before .* 200.00/)
  })

  it('moves from one payer to another in full when it was written on the wrong person', async () => {
    const { agreedTariff, deliver, signedIn, plotOf, ids } = await moneyBook()
    await agreedTariff(FROM, 5000)
    const draw = await deliver()
    const tomo = await signedIn('Tomo')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    await deliver({ plotId: plotOf.Chidi }, { correctsId: draw, reason: 'outlet 6 for 9' })
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    expect(told(await tomo.open(`/money/members/${ids.Bela}`))).toContain('nothing to pay')
    expect(told(await tomo.open(`/money/members/${ids.Chidi}`))).toContain('KES 200.00 to pay')
    expect(told(await tomo.open('/money/charges'))).toContain('Nothing waits to be charged')
  })

  it('is given back in full when it was struck out, once', async () => {
    const { agreedTariff, db, deliver, signedIn, strike, ids } = await moneyBook()
    await agreedTariff(FROM, 5000)
    const draw = await deliver()
    const tomo = await signedIn('Tomo')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    await strike(draw, 'written twice')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    expect(told(await tomo.open(`/money/members/${ids.Bela}`))).toContain('nothing to pay')
    expect(told(await tomo.open('/money/charges'))).toContain('Nothing waits to be charged')

    // Whoever looks the file over sees that all that was posted comes to what is due, and that it does not where one sum was changed.
    const wrongSums = async () =>
      (await inspectBook(db)).faults.filter(({ code }) => code === 'identity').map(({ values }) => values.what)
    expect(await wrongSums()).toEqual([])
    await sql`drop trigger transfer_no_update`.execute(db)
    await sql`update transfer set amount_minor = amount_minor - 1 where kind = 'correction'`.execute(db)
    expect(await wrongSums()).toEqual(['followUp'])
  })
})
