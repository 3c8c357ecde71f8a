import fc from 'fast-check'
import { beforeEach, describe, expect, it } from 'vitest'
import type { WeekRhythm } from '../../domain/weeks.ts'
import { writeJoining } from '../../server/book/joining/join.ts'
import type { WholeEntry } from '../../server/book/merge/whole-entry.ts'
import { approve } from '../../server/book/names/approvals.ts'
import { dueTimes } from '../../server/fees/arrears/promise-store.ts'
import { setRoles } from '../../server/people/person/store.ts'
import { sentTooLate, sentUnasked, TOO_LATE } from '../laws/told.ts'
import { answersOf, type Visitor } from '../support/visitor.ts'
import { type MoneyBook, owingBook, told } from './book.ts'

let book: MoneyBook
let tomo: Visitor

beforeEach(async () => {
  ;({ book, tomo } = await owingBook())
})

const RHYTHM: WeekRhythm = { firstWeekday: 1, marketWeeks: [] }
const RELIEF = { amount: '120', minute: 'minute 14', words: 'labour waived this season' }

describe('what is still to pay', () => {
  it('is called one name at every door and on its page', async () => {
    const heading = (await tomo.open('/money/members')).html.querySelector('h1')!.text
    expect(heading).toBe('Who has to pay')
    for (const from of ['/', '/money']) {
      const doors = (await tomo.open(from)).html.querySelectorAll('a[href="/money/members"]')
      expect([from, ...doors.map((door) => door.text.trim())]).toEqual([from, heading])
    }
  })

  it('is listed with its age and what was agreed, for treasurer and auditor only', async () => {
    await tomo.fill(`/money/members/${book.ids.Bela}/instalments`, {
      amount: '50',
      every: 'week',
      firstOn: '2026-06-01',
      times: '4',
    })
    await tomo.fill('/money/pay', { payerId: book.ids.Bela, amount: '30', column: 'cash' })
    const list = told(await (await book.signedIn('Ines')).open('/money/members'))
    expect(list).toContain('4 Bela 170.00 170.00')
    expect(list).toContain('50.00 every week from 1 Jun 2026 on, 4 times: 50.00 due so far, 30.00 paid since that day')
    expect(list).not.toMatch(/debtor|default|blame|guilt|late payer/i)
    for (const visitor of [book.ada, await book.signedIn('Dela'), await book.signedIn('Bela')]) {
      expect((await visitor.open('/money/members')).status).toBe(403)
    }
  })

  it('counts instalments as they come due, never more than were agreed', () => {
    const monthly = {
      personId: 'p',
      amountMinor: 1,
      every: 'month',
      firstOn: '2026-01-31',
      times: 3,
      words: null,
    } as const
    expect(
      ['2026-01-30', '2026-01-31', '2026-02-27', '2026-02-28', '2026-03-30', '2026-03-31', '2027-01-01'].map((on) =>
        dueTimes(monthly, on, RHYTHM),
      ),
    ).toEqual([0, 1, 1, 2, 2, 3, 3])
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 0, max: 300 }), (times, day) => {
        const on = new Date(Date.UTC(2026, 0, 1 + day)).toISOString().slice(0, 10)
        const weekly = { ...monthly, every: 'week', firstOn: '2026-01-01', times } as const
        expect(dueTimes(weekly, on, RHYTHM)).toBe(Math.min(times, Math.floor(day / 7) + 1))
      }),
    )
    // Counted by hand: on Thursdays until the market takes over on 19 March, then every five days.
    const market: WeekRhythm = { firstWeekday: 1, marketWeeks: [{ fromOn: '2026-03-19', daysInWeek: 5 }] }
    const weekly = { ...monthly, every: 'week', firstOn: '2026-03-05', times: 9 } as const
    const days = ['2026-03-05', '2026-03-11', '2026-03-12', '2026-03-19', '2026-03-23', '2026-03-24', '2026-03-29']
    expect(days.map((on) => dueTimes(weekly, on, market))).toEqual([1, 1, 2, 3, 3, 4, 5])
  })
})

describe('relief', () => {
  const asked = () => tomo.fill('/money/relief', { ...RELIEF, personId: book.ids.Bela, askedId: book.ids.Ada })

  it('is granted by the one officer who is asked, who sees this matter and no other', async () => {
    const relief = await asked()
    expect(told(relief)).toContain('Ada is asked for it')
    expect(told(await tomo.open('/money/members'))).toContain('KES 200.00')
    expect((await book.ada.open('/money')).html.querySelector(`a[href="${relief.path}"]`)).not.toBeNull()
    const granted = await book.ada.fill(relief.path, {}, { action: relief.path })
    expect(told(granted)).toContain('Ada, 4 Jun 2026')
    expect((await book.ada.open(`/money/members/${book.ids.Bela}`)).status).toBe(403)
    const bela = await book.signedIn('Bela')
    expect(told(await bela.open(`/money/members/${book.ids.Bela}`))).toMatch(/debt let off minute 14 120.00 80.00/)
    expect((await bela.open(relief.path)).status).toBe(200)
    expect(told(await tomo.open('/money/agree?period=season'))).toMatch(/Let off −120.00 To pay after 80.00/)
  })

  it('is shown to nobody else, stands on no turn sheet, and its form cannot be sent by another', async () => {
    const relief = await asked()
    for (const name of ['Chidi', 'Dela'] as const) {
      expect((await (await book.signedIn(name)).open(relief.path)).status).toBe(403)
    }
    expect(told(await (await book.signedIn('Chidi')).open('/turns'))).not.toContain('minute 14')
    const csrf = (await tomo.open('/money/pay')).html.querySelector('[name=_csrf]')!.getAttribute('value')
    const answer = await tomo.agent.post(relief.path).type('form').send({ _csrf: csrf, _form: 'own' })
    expect(answer.status).toBe(403)
  })

  it('is not more than there is to pay, and never asked of the person concerned', async () => {
    const much = { ...RELIEF, amount: '201', personId: book.ids.Bela, askedId: book.ids.Ada }
    const refused = await tomo.fill('/money/relief', much)
    expect(refused.html.querySelector('#amount-error')?.text).toContain('more than there is')
    const own = await tomo.fill('/money/relief', { ...much, amount: '1', askedId: book.ids.Chidi })
    expect(own.html.querySelector('#askedId-error')?.text).toContain('neither you nor the person')
  })
})

describe('a fine', () => {
  const FINE = {
    ...{ rule: 'rule 9', fact: 'valve 3 open at night, 2 June', heardOn: '2026-06-03', hearing: 'forgot to close it' },
    ...{ amount: '25', lapseOn: '2026-06-20', reason: 'the meeting said so' },
  }

  it('is charged after a hearing and a second name, and taken back once it has lapsed', async () => {
    const fine = await tomo.fill('/money/fine', { ...FINE, personId: book.ids.Bela })
    expect(told(fine)).toContain('waits for the second name; nothing is charged')
    await book.ada.fill(fine.path, {}, { action: fine.path })
    expect(told(await tomo.open(fine.path))).toContain('charged')
    expect((await book.ada.open(fine.path)).status).toBe(403)
    const bela = await book.signedIn('Bela')
    expect(told(await bela.open('/money'))).toContain('KES 225.00 to pay')
    expect((await tomo.open(fine.path)).html.querySelector('form[action$="/back"]')).toBeNull()
    book.setNow('2026-06-21T05:00:00Z')
    const later = await book.signedIn('Tomo')
    expect(told(await later.fill(fine.path, {}, { action: `${fine.path}/back` }))).toContain('lapsed and taken back')
    const statement = told(await (await book.signedIn('Bela')).open(`/money/members/${book.ids.Bela}`))
    expect(statement).toContain('KES 200.00 to pay')
    expect(statement).toContain('lapsed: rule 9')
  })

  it('is appealed to another body, is late for nobody meanwhile, and is decided by somebody without a part in it', async () => {
    const { path } = await tomo.fill('/money/fine', { ...FINE, personId: book.ids.Bela })
    const [appealAt, decideAt] = [{ action: `${path}/appeal` }, { action: `${path}/decision` }]
    const appeal = { decidedBy: 'the elders', words: 'the valve does not close' }
    const hasForm = async (who: typeof tomo, to: string) =>
      (await who.open(path)).html.querySelector(`form[action="${path}/${to}"]`) !== null
    expect(await hasForm(tomo, 'appeal')).toBe(false)
    await book.ada.fill(path, {}, { action: path })
    const bela = await book.signedIn('Bela')
    const late = async () => told(await tomo.open('/money/members')).match(/Bela ([\d.]+ )+/)?.[0]
    expect(await late()).toBe('Bela 225.00 225.00 ')
    expect(told(await bela.fill(path, { ...appeal, words: '' }, appealAt))).toContain('Please fill this in')
    const once = async () =>
      expect(told(await bela.fill(path, appeal, appealAt))).toContain('Still to be decided by: the elders')
    const again = await sentTooLate(book, bela, { at: path, ...appealAt, fields: appeal, meanwhile: once })
    expect(again).toMatchObject({ ...TOO_LATE, words: expect.stringContaining('This fine cannot be appealed now') })
    expect(await late()).toBe('Bela 225.00 200.00 ')
    expect(told(await tomo.open('/money/members'))).toContain('25.00 of it under appeal')
    for (const who of [bela, tomo]) expect(await hasForm(who, 'decision')).toBe(false)
    expect((await book.ada.open(path)).status).toBe(403)
    expect(await hasForm(bela, 'appeal')).toBe(false)
    await book.as('Ada', (pen) => setRoles(pen, book.ids.Chidi as never, ['committee'], '2026-06-04'))
    const chidi = await book.signedIn('Chidi')
    expect(told(await chidi.open('/money'))).toContain('the appeal against a fine')
    // Nor does who wrote it, where that is a committee member too.
    await book.as('Ada', (pen) => setRoles(pen, book.ids.Tomo as never, ['treasurer', 'committee'], '2026-06-04'))
    const fields = { way: 'lifted', words: 'minute 12' }
    const own = await sentUnasked(book, tomo, { keysOf: '/money/pay', to: decideAt.action, fields })
    expect(own).toMatchObject({ ...TOO_LATE, words: expect.stringContaining('There is no appeal to decide here') })
    await chidi.fill(path, fields, decideAt)
    expect(told(await bela.open(path))).toMatch(/the elders lifted it: minute 12.*Chidi/)
    expect(told(await tomo.open('/money/members'))).toContain('KES 200.00')
    expect(told(await chidi.open('/money'))).not.toContain('the appeal against a fine')
    expect((await chidi.open(path)).status).toBe(403)
  })

  it('without a hearing before it is not written', async () => {
    const page = await tomo.fill('/money/fine', { ...FINE, personId: book.ids.Bela, heardOn: '2026-06-10' })
    expect(page.html.querySelector('#heardOn-error')?.text).toContain('The hearing comes before the fine')
    expect(await book.db.selectFrom('fine').selectAll().execute()).toEqual([])
  })
})

describe('money that another device brought', () => {
  it('is told where the period is agreed until somebody else stands for the joining', async () => {
    await tomo.fill('/money/pay', { payerId: book.ids.Bela, amount: '50', column: 'cash' })
    const { entryId } = await book.db.selectFrom('transfer').select('entryId').executeTakeFirstOrThrow()
    const joining = await book.as('Ada', (pen) =>
      writeJoining(pen, { onlyOne: 0, onlyOther: 1, shared: 1 }, [{ entry: { id: entryId } } as WholeEntry]),
    )
    const told = async () => (await tomo.open('/money/agree?period=season')).words
    const brought = 'Ada joined the book of another device and brought one line of money'
    expect(await told()).toContain(brought)
    await book.as('Ines', (pen) => approve(pen, joining))
    expect(await told()).not.toContain(brought)
  })
})

describe('labour and produce', () => {
  it('pay at the agreed rate with a receipt of the same series, which stands in the cash book and moves no money', async () => {
    const rate = { kind: 'labour', name: 'day of work', price: '60', fromOn: '2026-06-01', minute: 'minute 3' }
    await tomo.fill('/money/settle/work', rate)
    await tomo.fill('/money/pay', { payerId: book.ids.Bela, amount: '50', column: 'cash' })
    const form = await tomo.open('/money/pay?as=work')
    const rateId = answersOf(form, 'rateId')[0]!.value
    const receipt = await tomo.send(form, { payerId: book.ids.Bela, rateId, quantity: '1.5' })
    expect(receipt.path).toBe('/money/receipts/2')
    expect(told(receipt)).toMatch(/KES 90.00 .* labour .* 1.5 × day of work .* KES 60.00 to pay/)
    await tomo.fill('/money/pay', { payerId: book.ids.Bela, amount: '20', column: 'cash' })
    const numbers = async () => {
      const { html } = await tomo.open('/money/cash-book')
      return html.querySelectorAll('a[href^="/money/receipts/"]').map((link) => link.text)
    }
    expect(await numbers()).toEqual(['1', '2', '3'])
    expect(told(await tomo.open('/money/cash-book'))).toMatch(
      /Bela .*: 1.5 × day of work worth 90.00, no money .*In all 70.00 .*Held after 70.00/,
    )
    // Whoever signs the closing reads what one person wrote that no box shows.
    const alone = 'Tomo alone wrote one payment in work or produce'
    expect(told(await tomo.open('/money/agree?period=season'))).toContain(alone)
    await tomo.fill('/money/receipts/2/mend', { original: 'back', reason: 'on the wrong person' })
    expect(await numbers()).toEqual(['1', '2', '3', '2'])
    expect(told(await tomo.open('/money/agree?period=season'))).not.toContain(alone)
    expect(told(await tomo.open('/money/cash-book'))).toMatch(/In all 70.00 .*Held after 70.00/)
    expect(told(await tomo.open('/money/receipts'))).toContain('The numbers run without a gap')
    expect(told(await tomo.open('/money/agree?period=season'))).not.toContain('is not in the cash book')
  })
})
