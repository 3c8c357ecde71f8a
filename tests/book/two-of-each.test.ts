import { beforeAll, describe, expect, it } from 'vitest'
import { addPlot } from '../../server/people/plot/store.ts'
import { addFlowTest, addOutlet, addPump } from '../../server/works/pump/store.ts'
import { abstractionsBook } from '../abstractions/book.ts'
import { type MoneyBook, moneyBook, told } from '../fees/book.ts'
import { optionValue, type Seen, type Visitor } from '../support/visitor.ts'

/** The rows of a page's tables that speak of something, as their words. */
function rowsOf(page: Seen, name: string): string[] {
  const rows = page.html.querySelectorAll('main tr, main li').map((row) => row.textContent.replace(/\s+/g, ' ').trim())
  return rows.filter((row) => row.includes(name))
}

describe('two pumps with a tank each', () => {
  let ada: Visitor

  beforeAll(async () => {
    const book = await abstractionsBook()
    ada = book.ada
    const fromOn = '2026-06-01'
    await book.writing(async (pen) => {
      const hours = { firstHour: 7, lastHour: 17, sunThresholdWPerM2: 250, fromOn }
      const pump = { number: 2, name: 'Upper', weirId: book.weirId, usualFlowM3PerH: 9, meterDigits: 5 }
      const pumpId = await addPump(pen, { ...pump, ...hours, outletsAtOnce: 1, usualDayM3: null })
      const outletId = await addOutlet(pen, { number: 4, name: 'Ridge', pumpId })
      await addFlowTest(pen, { outletId, testedOn: fromOn, flowM3PerH: 5 })
      const plot = { areaM2: 300, soil: 'loam', method: 'drip', shares: 1, outletIds: [outletId], fromOn }
      await addPlot(pen, { ...plot, number: 8, name: 'Fig', holderIds: [book.chidiId] })
    })
    for (const [number, name, pump, area] of [
      ['1', 'Hill', 'Lower', '4'],
      ['2', 'Dale', 'Upper', '10'],
    ] as const) {
      const form = await ada.open('/works/tanks/new')
      await ada.send(form, { number, name, pumpId: optionValue(form, 'pumpId', pump), area, height: '3', fromOn })
    }
    for (const [tank, levels] of [
      ['Hill', ['150', '130']],
      ['Dale', ['230', '250']],
    ] as const) {
      for (const [at, level] of levels.entries()) {
        const form = await ada.open('/log/round?as=tank')
        const read = { moment: 'dawn', level, atTime: '06:00', onDate: `2026-06-${10 + at}` }
        await ada.send(form, { tankId: optionValue(form, 'tankId', tank), ...read })
      }
    }
    for (const [pump, meters] of [
      ['Lower', ['100', '107']],
      ['Upper', ['500', '531']],
    ] as const) {
      for (const [at, meter] of meters.entries()) {
        const form = await ada.open('/log/round?as=meter')
        const pumpId = optionValue(form, 'pumpId', pump)
        await ada.send(form, { pumpId, moment: 'dawn', meter, atTime: '06:00', onDate: `2026-06-${10 + at}` })
      }
    }
  })

  it('keep their own levels and their own meters', async () => {
    const levels = await ada.open('/log/lines/tank')
    expect(rowsOf(levels, 'Hill').join(' ')).toMatch(/130.*150/)
    expect(rowsOf(levels, 'Hill').join(' ')).not.toMatch(/230|250/)
    expect(rowsOf(levels, 'Dale').join(' ')).not.toMatch(/150|130/)
    const meters = await ada.open('/log/lines/meter')
    expect(rowsOf(meters, 'Lower').join(' ')).not.toMatch(/500|531/)
    expect(rowsOf(meters, 'Upper').join(' ')).not.toMatch(/\b100\b|\b107\b/)
  })

  it('are balanced apart, each with the tank behind it', async () => {
    const page = await ada.open('/log/working/pumps')
    // The tank of 4 m² fell by 20 cm, that of 10 m² rose by as much.
    expect(rowsOf(page, '1 Lower')[0]).toMatch(/^1 Lower 7 0 0 0 0 −0\.8 7\.8 /)
    expect(rowsOf(page, '2 Upper')[0]).toMatch(/^2 Upper 31 0 0 0 0 2 29 /)
    expect(rowsOf(page, 'All pumps')[0]).toMatch(/^All pumps 38 0 0 0 0 1\.2 36\.8 /)
  })

  it('have their own books of slips, and a gap of one is none of the other', async () => {
    for (const [pump, firstNo, lastNo] of [
      ['Lower', '301', '350'],
      ['Upper', '401', '450'],
    ] as const) {
      const form = await ada.open('/paper/numbers')
      await ada.send(form, { pumpId: optionValue(form, 'pumpId', pump), firstNo, lastNo })
    }
    for (const [pump, from, to, slipNo] of [
      ['Lower', '107', '108', '302'],
      ['Upper', '531', '533', '401'],
    ] as const) {
      const form = await ada.open('/log/water?use=flushing&method=meter')
      const place = optionValue(form, 'place', pump)
      await ada.send(form, { place, opening: from, closing: to, startTime: '07:00', endTime: '07:40', slipNo })
    }
    const closing = async (pump: string, meter: string, firstSlip: string, lastSlip: string) => {
      const form = await ada.open('/log/close?as=new')
      const pumpId = optionValue(form, 'pumpId', pump)
      return ada.send(form, { pumpId, meter, firstSlip, lastSlip })
    }
    await closing('Lower', '108', '301', '302')
    const page = await closing('Upper', '533', '401', '401')
    expect(page.words).toMatch(/pump 2 Water meter, m³533 Slips401–401 .*No gap was found.*pump 1 Water meter, m³108/)
    expect(page.words).toMatch(/pump 1 Water meter, m³108 Slips301–302 .*Slip without a line: 301/)
    expect(rowsOf(page, '301–350 for pump 1').join(' ')).toContain('Slip without a line: 301')
    expect(rowsOf(page, '401–450 for pump 2').join(' ')).not.toContain('without a line')
  })

  it('have plots that ask every week, each for its own, and one that stops leaves the other', async () => {
    for (const [plot, volume] of [
      ['Bela', '3'],
      ['Chidi', '8'],
    ] as const) {
      const form = await ada.open('/turns/ask')
      const plotId = optionValue(form, 'plotId', plot)
      await ada.send(form, { plotId, volume, everyWeek: 'yes' })
    }
    const both = await ada.open('/turns/asked')
    const action = (name: string) =>
      both.html
        .querySelectorAll('main tr, main li')
        .find((row) => row.textContent.includes(name))!
        .querySelector('form')!
        .getAttribute('action')!
    const after = await ada.send(both, {}, action('Bela'))
    expect(rowsOf(both, 'Bela')[0]).toMatch(/Bela 3 About 150.*1 h 30 at outlet 3/)
    expect(rowsOf(both, 'Chidi')[0]).toMatch(/Chidi 8 About 400.*1 h 36 at outlet 4/)
    expect(rowsOf(after, 'Bela')).toEqual([])
    expect(rowsOf(after, 'Chidi')).toHaveLength(rowsOf(both, 'Chidi').length)
    expect(rowsOf(after, 'Chidi')[0]).toContain('Chidi 8 About 400')
  })
})

describe('two plots that ask urgently in one month', () => {
  it('use up their own part of it, not that of the other', async () => {
    const { ada, writing, chidiId, outletId } = await abstractionsBook()
    const plot = { areaM2: 300, soil: 'loam', method: 'drip', shares: 1, outletIds: [outletId], fromOn: '2026-06-01' }
    await writing((pen) => addPlot(pen, { ...plot, number: 8, name: 'Fig', holderIds: [chidiId] }))
    const ask = async (holder: string) => {
      const form = await ada.open('/turns/ask')
      return ada.send(form, { plotId: optionValue(form, 'plotId', holder), volume: '2', urgent: 'seedlings wilt' })
    }
    expect((await ask('Bela')).status).toBe(200)
    expect((await ask('Chidi')).status).toBe(200)
    expect((await ask('Bela')).html.querySelector('#urgent-error')?.text).toContain('the group allows 1')
    expect(rowsOf(await ada.open('/turns/asked'), '▲ Urgent: seedlings wilt')).toHaveLength(2)
  })
})

describe('two receipt books and two classes of payers', () => {
  let book: MoneyBook
  let tomo: Visitor

  beforeAll(async () => {
    book = await moneyBook()
    tomo = await book.signedIn('Tomo')
  })

  it('keep their numbers apart: one number in both is no repeat, and a gap is of its own book', async () => {
    for (const [name, firstNumber, paid] of [
      ['Green', '1', ['1', '3']],
      ['Brown', '1', ['1', '2']],
    ] as const) {
      const page = await tomo.fill('/paper/numbers?as=receipts', { name, firstNumber, lastNumber: '50' })
      for (const [at, number] of paid.entries()) {
        const payerId = at ? book.ids.Chidi : book.ids.Bela
        const amount = name === 'Green' ? '31' : '47'
        await tomo.fill(page.path, { number, paidOn: '2026-06-02', payerId, amount, column: 'cash' })
      }
    }
    const books = told(await tomo.open('/money/receipts?as=books'))
    expect(books).toMatch(/Green 1 to 50 2 number 2 is missing/)
    expect(books).toMatch(/Brown 1 to 50 2 none/)
    for (const name of ['Bela', 'Chidi'] as const) {
      const statement = told(await tomo.open(`/money/members/${book.ids[name]}`))
      expect(statement).toContain('KES 78.00')
      expect(statement).toMatch(/47\.00.*31\.00/)
    }
  })

  it('are charged by their own price, each', async () => {
    const tariff = await tomo.fill('/money/price/new', {
      fromOn: '2026-06-01',
      perM3: '10',
      tenantPerM3: '60',
      schoolPerM3: '7',
    })
    await book.ada.fill(tariff.path, {}, { action: tariff.path })
    const since = { fromOn: '2026-06-01' }
    await tomo.fill('/money/settle/pays-as', { personId: book.ids.Bela, payerClass: 'tenant', ...since })
    await tomo.fill('/money/settle/pays-as', { personId: book.ids.Chidi, payerClass: 'school', ...since })
    await book.deliver({ volumeM3: 2 })
    await book.deliver({ volumeM3: 3, plotId: book.plotOf.Chidi })
    const due = told(await tomo.open('/money/charges'))
    expect(due).toContain('Amounts in KES')
    expect(due).toContain('4 Bela 120.00')
    expect(due).toContain('5 Chidi 21.00')
  })
})
