import { beforeEach, describe, expect, it } from 'vitest'
import { trialBalance } from '../../../domain/fees/ledger.ts'
import { approve } from '../../../server/book/names/approvals.ts'
import { postCharges } from '../../../server/fees/charge/store.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { sentTooLate, TOO_LATE } from '../../laws/told.ts'
import type { Visitor } from '../../support/visitor.ts'
import { TODAY, told } from '../book.ts'
import { type TurnBook, turnBook } from '../turn-book.ts'

const FROM = '2026-06-01'
/** Words that would blame somebody. */
const BLAME = /fault|guilt|offen|penal|punish|fail|nobody came|no-show/i

let book: TurnBook
let tomo: Visitor
beforeEach(async () => {
  book = await turnBook()
  tomo = await book.signedIn('Tomo')
  // 50 for a cubic metre, 12.50 for a turn left without word, 5 for a turn that gave water.
  const tariff = await tomo.fill('/money/price/new', { fromOn: FROM, perM3: '50', perTurn: '5', perNoShow: '12.50' })
  expect(told(tariff)).toContain('KES 12.50 for a turn left without word')
  await book.ada.fill(tariff.path, {}, { action: tariff.path })
})

const post = () => book.as('Tomo', (pen) => postCharges(pen, { toOn: TODAY, onDate: TODAY }))
const waiting = async () => told(await tomo.open('/money/charges'))
const balanced = async () => expect(trialBalance({ transfers: await listTransfers(book.db) }).totalMinor).toBe(0)

describe('a turn that was left without word', () => {
  it('costs what the tariff of its day says, once, and the statement says so without blame', async () => {
    await book.turn('t1')
    await book.turn('t2', { plotId: book.plotOf.Chidi })
    await book.say('t1', 'no-show')
    await book.heard('t1')
    await book.deliver({ turnId: 't2', plotId: book.plotOf.Chidi, volumeM3: 2 })
    // Bela: one turn at 12.50. Chidi: 2 m3 at 50 and half of a turn of 4 m3 at 5, which is 102.50.
    const seen = await tomo.open('/money/charges')
    expect(told(seen)).toContain('4 Bela 12.50')
    expect(told(seen)).toContain('turn not used')
    expect(told(seen)).toContain('5 Chidi 102.50')
    await tomo.send(seen, {}, '/money/charges')
    expect(await waiting()).toContain('Nothing waits')
    await post()
    const transfers = await listTransfers(book.db)
    expect(transfers.map((one) => [one.kind, one.amountMinor])).toEqual([
      ['charge', 1250],
      ['charge', 10_250],
    ])
    await balanced()
    const bela = await book.signedIn('Bela')
    const statement = await bela.open(`/money/members/${book.ids.Bela}`)
    expect(told(statement)).toContain('Turn of 2 Jun 2026 not used, by the rule of 1 Jun 2026')
    expect(told(statement)).not.toMatch(BLAME)
    const working = await bela.open(`/money/working/charge/${transfers[0]!.id}`)
    expect(told(working)).toMatch(/KES 12.50 was charged for the turn of 2 Jun 2026.*1 turn left without word.* 12.50/)
    expect(told(working)).not.toMatch(BLAME)
    expect((await (await book.signedIn('Chidi')).open(`/money/working/charge/${transfers[0]!.id}`)).status).toBe(403)
  })

  it.each(['excused', 'breakdown', 'late', 'here'] as const)(
    'costs nothing where the last word on it is %s',
    async (cause) => {
      await book.turn('t1')
      await book.say('t1', 'no-show')
      await book.heard('t1')
      await book.say('t1', cause)
      expect(await waiting()).toContain('Nothing waits')
    },
  )

  it('costs nothing where some water was drawn for its own plot, and the charge where only another plot used it', async () => {
    await book.turn('t1')
    await book.say('t1', 'no-show')
    await book.heard('t1')
    await book.deliver({ turnId: 't1', plotId: book.plotOf.Chidi, volumeM3: 1 })
    expect(await waiting()).toContain('4 Bela 12.50')
    // 1 m3 at 50 and a quarter of a turn at 5.
    expect(await waiting()).toContain('5 Chidi 51.25')
    await book.deliver({ turnId: 't1', volumeM3: 1 })
    expect(await waiting()).toContain('4 Bela 51.25')
  })

  it('is given back by a line of its own when it turns out otherwise, and charged again when that is taken back', async () => {
    await book.turn('t1')
    await book.say('t1', 'no-show')
    await book.heard('t1')
    await post()
    await book.say('t1', 'excused', 'was called to the school')
    const seen = await waiting()
    expect(seen).toContain('−12.50')
    expect(seen).toContain('follow-up of a correction: was called to the school')
    await post()
    await post()
    await book.say('t1', 'no-show')
    await post()
    const transfers = await listTransfers(book.db)
    expect(transfers.map((one) => [one.kind, one.amountMinor, one.correctsId])).toEqual([
      ['charge', 1250, null],
      ['correction', 1250, transfers[0]!.id],
      ['charge', 1250, null],
    ])
    await balanced()
    const statement = told(await tomo.open(`/money/members/${book.ids.Bela}`))
    expect(statement).toContain('Turn of 2 Jun 2026: given back (was called to the school)')
    expect(statement).toContain('KES 12.50 to pay')
    expect(told(await tomo.open(`/money/working/charge/${transfers[1]!.id}`))).toContain(
      'KES 12.50 was given back for the turn',
    )
  })

  it('is by the tariff of its own day, and a later price leaves it alone', async () => {
    await book.turn('t1')
    await book.say('t1', 'no-show')
    await book.heard('t1')
    await post()
    const late = await tomo.fill('/money/price/new', { fromOn: '2026-06-02', perM3: '50', perNoShow: '20' })
    expect(late.html.querySelector('#fromOn-error')?.text).toContain('already charged')
    const tariff = await tomo.fill('/money/price/new', { fromOn: '2026-06-03', perM3: '50', perNoShow: '20' })
    await book.ada.fill(tariff.path, {}, { action: tariff.path })
    await book.turn('t2', { onDate: '2026-06-03' })
    await book.say('t2', 'no-show')
    await book.heard('t2')
    expect(await waiting()).toContain('4 Bela 20.00')
  })

  it('is not yet due before its day is in the span, and costs nothing where the tariff has no such part', async () => {
    await book.turn('t1', { onDate: '2026-06-04' })
    await book.say('t1', 'no-show')
    await book.heard('t1')
    expect(told(await tomo.open('/money/charges?toOn=2026-06-03'))).toContain('Nothing waits')
    await book.agreedTariff('2026-06-04', 5000)
    expect(await waiting()).toContain('Nothing waits')
  })
})

describe('before the money of a turn left without word', () => {
  beforeEach(async () => {
    await book.turn('t1')
    await book.say('t1', 'no-show')
  })

  it('stand a hearing, a second name that is not of its holder, and the days of appeal', async () => {
    const open = await tomo.open('/money/charges')
    expect(told(open)).toContain('Nothing waits')
    expect(told(open)).toContain('2 Jun 2026: Not heard yet.')
    const door = open.html.querySelector('a[href^="/money/fine?as=missed-turn"]')!.getAttribute('href')!
    const early = await tomo.fill(door, { heardOn: '2026-06-01', hearing: 'was ill', appealUntil: '2026-06-10' })
    expect(early.html.querySelector('#heardOn-error')?.text).toContain('after the turn')
    const shut = await tomo.send(early, { heardOn: '2026-06-03', appealUntil: '2026-06-02' })
    expect(told(shut)).toContain('The days of appeal end on the day of the hearing or later.')
    const heard = await tomo.send(shut, { appealUntil: '2026-06-10' })
    expect(heard.path).toMatch(/^\/money\/names\/missed-turn\//)
    expect(await waiting()).toContain('Heard; waits for a second name.')
    expect((await (await book.signedIn('Chidi')).open(heard.path)).status).toBe(403)
    expect(told(await book.ada.open('/'))).toContain('the hearing about a turn left without word, written by Tomo')
    const page = await book.ada.open(heard.path)
    await book.ada.send(page, {}, page.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!)
    expect(await waiting()).toContain('it can still be appealed')
    const bela = await book.signedIn('Bela')
    const fields = { words: 'I had sent my daughter' }
    const appeal = () => bela.fill(heard.path, fields)
    const twice = await sentTooLate(book, bela, { at: heard.path, fields, meanwhile: appeal })
    expect(twice).toMatchObject({ ...TOO_LATE, words: expect.stringContaining('This cannot be appealed now') })
    expect(await waiting()).toContain('Appealed; it is heard anew')
    book.setNow('2026-06-20T05:00:00Z')
    tomo = await book.signedIn('Tomo')
    expect(await waiting()).toContain('Nothing waits')
    // Heard anew: it stands, and nothing more can be said against it from the next day on.
    const again = await tomo.fill(door, { heardOn: '2026-06-19', hearing: 'nobody saw her', appealUntil: '2026-06-19' })
    await book.as('Ada', (pen) => approve(pen, again.path.split('/').at(-1)!))
    expect(await waiting()).toContain('4 Bela 12.50')
  })

  it('stands a price that may be a part of what the turn would have cost', async () => {
    const both = await tomo.fill('/money/price/new', { fromOn: FROM, noShowPercent: '20' })
    expect(both.html.querySelector('#noShowPercent-error')?.text).toContain('not both')
    const tariff = await tomo.send(both, { perNoShow: '' })
    expect(told(tariff)).toContain('20% of what the turn would have cost')
    await book.ada.fill(tariff.path, {}, { action: tariff.path })
    await book.heard('t1')
    // By hand: 4 m3 at 50 and a turn at 5 is 205, of which one fifth is 41.
    expect(await waiting()).toContain('4 Bela 41.00')
    expect((await tomo.open('/money/price/new')).html.querySelector('#noShowPercent')?.getAttribute('value')).toBe('20')
  })
})

describe('a turn that was swapped or given away', () => {
  it('is paid by the plot that both agreed on, and the statement says so', async () => {
    await book.swapped('t1', { toPlotId: book.plotOf.Chidi, payerPlotId: book.plotOf.Bela })
    await book.deliver({ turnId: 't1', plotId: book.plotOf.Chidi, volumeM3: 4 })
    // 4 m3 at 50 and a whole turn at 5.
    expect(await waiting()).toContain('4 Bela 205.00')
    expect(await waiting()).not.toMatch(/Chidi [\d,]+\.\d\d/)
    await post()
    const statement = await (await book.signedIn('Bela')).open(`/money/members/${book.ids.Bela}`)
    expect(told(statement)).toContain('plot 2 Plot 2, to be paid by you as agreed in the swap')
    const working = statement.html.querySelector('a[href^="/money/working/charge/"]')!.getAttribute('href')!
    expect(told(await tomo.open(working))).toContain('Pays, as agreed in the swap plot 1 Plot 1')
  })

  it('is paid by the plot that took it where both agreed on that', async () => {
    await book.swapped('t1', { toPlotId: book.plotOf.Chidi, payerPlotId: book.plotOf.Chidi })
    await book.deliver({ turnId: 't1', plotId: book.plotOf.Chidi, volumeM3: 4 })
    expect(await waiting()).toContain('5 Chidi 205.00')
    await post()
    expect(told(await tomo.open(`/money/members/${book.ids.Chidi}`))).not.toContain('swap')
  })

  it('and then left without word is charged to the plot that was to pay', async () => {
    await book.swapped('t1', { toPlotId: book.plotOf.Chidi, payerPlotId: book.plotOf.Bela })
    await book.say('t1', 'no-show')
    await book.heard('t1')
    expect(await waiting()).toContain('4 Bela 12.50')
  })
})
