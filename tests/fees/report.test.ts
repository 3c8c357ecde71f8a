import { gzipSync } from 'node:zlib'
import { beforeAll, describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { answersOf, optionValue, type Seen, type Visitor } from '../support/visitor.ts'
import { owingBook, told } from './book.ts'

/** Words that an unhurried reader says in a minute; common practice, no source. */
const WORDS_A_MINUTE = 110

let valley: Awaited<ReturnType<typeof openValley>>
let fanta: Visitor
let besi: Visitor
beforeAll(async () => {
  valley = await openValley()
  fanta = await valley.signIn('fanta')
  besi = await valley.signIn('besi')
})

describe('the season report', () => {
  it('can be read aloud in ten minutes and names nobody who has something to pay', async () => {
    const report = await besi.open('/money/report')
    const words = report.html.querySelector('.aloud')!.textContent.trim().split(/\s+/)
    expect(words.length).toBeGreaterThan(60)
    expect(words.length / WORDS_A_MINUTE).toBeLessThan(10)
    expect(told(report)).toMatch(/cubic metres were delivered/)
    for (const { name } of await valley.db.selectFrom('person').select('name').execute()) {
      expect(told(report)).not.toContain(name)
    }
    expect((await (await valley.signIn('hila')).open('/money/report')).status).toBe(403)
  })

  it('tells all sources of what was delivered, in the report, aloud and where the period is agreed', async () => {
    const figures = (words: string, pattern: RegExp) => Number(pattern.exec(words)![1]!.replaceAll(',', ''))
    const sum = ({ words }: { words: string }) => {
      const said = (pattern: RegExp) => figures(words, pattern)
      const off = said(/tools alone can be off by ([\d,]+)/)
      return [
        said(/pumps gave ([\d,]+)/) + said(/([\d,]+) cubic metres were drawn by hand/),
        said(/In all, ([\d,]+)/),
        off,
      ]
    }
    const [sources = 0, delivered = 0, off = 0] = sum(await besi.open('/money/report'))
    // Rounded to whole cubic metres each.
    expect(Math.abs(sources - delivered)).toBeLessThanOrEqual(off + 2)
    const report = (await besi.open('/money/report')).words
    const parts = [/: ([\d,]+) were charged, /, /charged, ([\d,]+) had no price/, /([\d,]+) more wait to be charged/]
    expect(Math.abs(parts.reduce((all, part) => all + figures(report, part), 0) - delivered)).toBeLessThanOrEqual(2)
    const aloud = (await besi.open('/money/report?as=aloud')).words
    const [pumped, byHand, given] = [/the pumps gave about/, /without a pump: about/, /were given about/i].map(
      (before) => figures(aloud, new RegExp(`${before.source} ([\\d,]+)`, 'i')),
    )
    // Rounded to two figures as one says them.
    expect(Math.abs(pumped! + byHand! - given!)).toBeLessThanOrEqual(100)
    expect(told(await besi.open('/money/agree?period=season'))).toMatch(/Drawn by hand, without a pump 5\d\d m³/)
  })

  it('tells what came in without coins, so that the rest and what was paid out come to what is held', async () => {
    const { words } = await besi.open('/money/report')
    const sum = (pattern: RegExp) =>
      [...words.matchAll(pattern)].reduce((all, [, amount]) => all + Number(amount!.replaceAll(',', '')), 0)
    const held = /The group now holds .*?\./.exec(words)![0] + /Kept apart[^.]*/.exec(words)![0]
    const kept = [...held.matchAll(/XOF ([\d,]+)/g)].reduce(
      (all, [, amount]) => all + Number(amount!.replaceAll(',', '')),
      0,
    )
    const inKind = sum(/Of what came in, XOF ([\d,]+) was work or produce/g)
    expect(inKind).toBeGreaterThan(0)
    expect(sum(/and XOF ([\d,]+) came in/g) - inKind - sum(/paid, XOF ([\d,]+) in all/g)).toBe(kept)
  })

  it('leads from a mending to the voucher of its own number', async () => {
    const report = await fanta.open('/money/report')
    const door = report.html.querySelector('a[href^="/money/names/voucher/"]')!
    const number = Number(/\d+/.exec(door.text)![0])
    const voucher = await valley.db
      .selectFrom('voucher')
      .select('entryId')
      .where('number', '=', number)
      .executeTakeFirstOrThrow()
    expect(door.getAttribute('href')).toBe(`/money/names/voucher/${voucher.entryId}`)
  })
})

describe('the money held in a month that was counted before its end', () => {
  it('says beside the count what the book held on that day', async () => {
    const october = told(await fanta.open('/money/agree?period=month&on=2026-10-15'))
    const row = /cash [\d,]+ [\d,]+ [\d,]+ ([\d,]+) ([\d,]+) on 25 Oct 2026 agrees .*? held ([\d,]+)/
    const [, after, counted, held] = row.exec(october)!
    expect(held).toBe(counted)
    expect(after).not.toBe(counted)
    expect(october).toMatch(/phone money .* on 25 Oct 2026 What moved after that day is not in it/)
  })
})

describe('the sums of the season report', () => {
  it('add up aloud, with what was to pay before and with fines', async () => {
    const own = await openValley()
    const [treasurer, chair] = [await own.signIn('fanta'), await own.signIn('amaru')]
    const asked = await treasurer.open('/money/fine')
    const fine = await treasurer.send(asked, {
      ...{
        personId: optionValue(asked, 'personId', 'Kelo Fasti'),
        rule: 'rule 4',
        fact: 'a valve',
        heardOn: '2026-11-20',
      },
      ...{ hearing: 'was heard', amount: '200', lapseOn: '2026-12-20', reason: 'the meeting said so' },
    })
    await chair.fill(fine.path, {}, { action: fine.path })
    const opening = await treasurer.open('/money/settle/from-before')
    const accountId = optionValue(opening, 'accountId', 'Lumi Adder')
    const side = answersOf(opening, 'side')[0]!.value
    await treasurer.send(opening, { accountId, side, amount: '70', onDate: '2026-08-01' })
    const aloud = told(await chair.open('/money/report'))
    const sum = (words: RegExp) => Number(words.exec(aloud)![1]!.replaceAll(',', ''))
    const before = sum(/XOF ([\d,]+) were to pay/)
    const signed = /-XOF [\d,]+ were to pay/.test(aloud) ? -before : before
    const charged = sum(/XOF ([\d,]+) were charged, fines counted with them/)
    const after = signed + charged - sum(/and XOF ([\d,]+) came in/) - sum(/Debts of XOF ([\d,]+) were let off/)
    expect(Math.abs(signed)).toBe(70)
    expect(sum(/XOF ([\d,]+) are still to pay/)).toBe(after)
  })
})

describe('the statements of all members', () => {
  it('are one print run whose balances add up to what is to pay', async () => {
    const run = await fanta.open('/money/members/all?sheet=all')
    const sections = run.html.querySelectorAll('.print-run > section')
    expect(sections.length).toBeGreaterThan(20)
    const balances = sections.map((section) => {
      const text = section.querySelector('.big')!.text
      const amount = Number(text.replace(/[^\d]/g, '') || 0)
      return /ahead/.test(text) ? -amount : amount
    })
    const look = told(await fanta.open(`/money/agree?period=season&on=${VALLEY_TODAY}`))
    const closing = Number(/To pay after ([\d,]+)/.exec(look)![1]!.replaceAll(',', ''))
    expect(balances.reduce((sum, one) => sum + one, 0)).toBe(closing)
    expect((await besi.open('/money/members/all')).status).toBe(403)
  })

  it('come over a weak line some at a time, each on one sheet, which says whose are on it', async () => {
    const namesOn = ({ html }: Seen) =>
      html.querySelectorAll('.print-run h2').map(({ text }) => text.replace(/\s+/g, ' ').trim())
    const seen: string[] = []
    const first = await fanta.open('/money/members/all')
    const count = Number(/Sheet 1 of (\d+)/.exec(first.words)![1])
    for (let sheet = 1; sheet <= count; sheet++) {
      const page = await fanta.open(`/money/members/all?sheet=${sheet}`)
      const names = namesOn(page)
      expect(page.words).toContain(`Sheet ${sheet} of ${count}: ${names[0]} – ${names.at(-1)}`)
      expect(gzipSync(page.text).length).toBeLessThan(14_000)
      seen.push(...names)
    }
    expect(count).toBeGreaterThan(1)
    expect(seen).toEqual(namesOn(await fanta.open('/money/members/all?sheet=all')))
  })
})

describe('the fee proposal', () => {
  const ASKED = {
    ...{ stipend: '60000', spares: '10000', repairs: '8000', committee: '2000', other: '0' },
    ...{ pumpPrice: '300000', pumpYears: '10', panelPrice: '100000', panelYears: '15' },
    ...{ cautiousM3: '4000', middleM3: '8000', plots: '40', flatPercent: '50' },
  }
  const path = (change: Partial<typeof ASKED> = {}) =>
    `/money/price/reckon?${new URLSearchParams({ ...ASKED, ...change })}`

  it('says what keeps the pump and what does not, for a small, a middle and a large plot', async () => {
    // By hand: 80 000 + 30 000 + 6 666.67 = 116 667 a year; / 4 000 = 29.17, / 8 000 = 14.58; 80 000 / 8 000 = 10.
    const page = told(await besi.open(path()))
    expect(page).toContain('XOF 15 to XOF 30 for 1 m³ keeps the pump; XOF 10 would pay the year but not replace it.')
    expect(page).toContain('To raise in a year XOF 116,667')
    expect(page).toMatch(/small, .* m³ a year .* middle, .* large, /)
  })

  it('halves the volume and shows the fee honestly', async () => {
    expect(told(await besi.open(path({ middleM3: '4000' })))).toContain('XOF 30 to XOF 30 for 1 m³')
  })

  it('fills in what the book knows, and says beside a field what is wrong with it', async () => {
    const empty = await besi.open('/money/price/reckon')
    expect(empty.html.querySelector('#plots')?.getAttribute('value')).toBe('40')
    expect(Number(empty.html.querySelector('#middleM3')?.getAttribute('value'))).toBeGreaterThan(100)
    // The example is four months old: what it holds is no year's.
    expect(empty.words).toContain('This book begins on 22 Jul 2026, so what is filled in is less than a year’s')
    const wrong = await besi.open(path({ pumpYears: '0' }))
    expect(wrong.status).toBe(422)
    expect(wrong.html.querySelector('#pumpYears-error')?.text).toContain('from 1 to 60')
  })

  it('fills in no cubic metres while none was paid for: a price cannot be reckoned on nought', async () => {
    const { book, tomo } = await owingBook()
    const form = await tomo.open('/money/price/reckon')
    const filled = ['middleM3', 'cautiousM3'].map((name) => form.html.querySelector(`#${name}`)!.getAttribute('value'))
    expect(filled.map((value) => value ?? '')).toEqual(['', ''])
    await book.db.destroy()
  })

  it.each([
    ['panelYears', 'panelPrice'],
    ['panelPrice', 'panelYears'],
  ] as const)(
    'asks for the %s where panels are to be replaced, and leaves them out where neither is known',
    async (one, other) => {
      const half = await besi.open(path({ [one]: '' }))
      expect([half.status, half.html.querySelector(`#${one}-error`)?.text]).toEqual([
        422,
        expect.stringContaining('Please fill this in'),
      ])
      // By hand: 80 000 and 300 000 over ten years.
      expect(told(await besi.open(path({ [one]: '', [other]: '' })))).toContain('To raise in a year XOF 110,000')
    },
  )

  it('says nothing of a year that the book holds whole', async () => {
    const later = await openValley()
    for (const [days, isYoung] of [
      [363, true],
      [364, false],
    ] as const) {
      later.setNow(`${addDays('2026-07-22', days)}T10:00:00Z`)
      const page = await (await later.signIn('besi')).open('/money/price/reckon')
      expect([days, page.words.includes('less than a year’s')]).toEqual([days, isYoung])
    }
  })
})
