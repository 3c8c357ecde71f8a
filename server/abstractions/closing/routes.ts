import type { FastifyInstance, FastifyRequest } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import { moneyText } from '../../../domain/money/money.ts'
import { approvals, approve } from '../../book/approvals.ts'
import { write } from '../../book/pen.ts'
import { endOfBook } from '../../book/verify.ts'
import type { Parts } from '../../parts.ts'
import type { Values } from '../../web/figures/locale.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { date, number, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { figure } from '../../works/register/kept-store.ts'
import { trouble } from '../../works/register/line.ts'
import { addRegister } from '../../works/register/register.ts'
import { correctedSince } from './corrections.ts'
import { type Gap, gapsOf, listClosings, slipBooks } from './store.ts'

const slip = () => optional(whole({ min: 1, max: 9_999_999 }))
/** A book of slips has hundreds of leaves, not more. */
const MOST_SLIPS = 2000

const closingForm = (currency: string) =>
  defineForm('abstractions.closing', {
    span: select(['day', 'week']),
    pumpId: select(),
    toOn: date(),
    meter: optional(number({ min: 0, max: 999_999_999 })),
    hourMeter: optional(number({ min: 0, max: 1_000_000 })),
    firstSlip: slip(),
    lastSlip: slip(),
    cash: optional(money(currency)),
    cashToId: optional(select()),
    words: optional(text({ max: 300 })),
  })

const SlipBookForm = defineForm('abstractions.slip-book', {
  pumpId: select(),
  firstNo: whole({ min: 1, max: 9_999_999 }),
  lastNo: whole({ min: 1, max: 9_999_999 }),
  fromOn: date(),
})

/** The day and the week are closed by two names, with what is missing named beside them; slips come from numbered books. */
export function addLogClosingRoutes(app: FastifyInstance, parts: Parts): void {
  const { db, now } = parts
  app.get('/closings', { preHandler: may('abstractions.see') }, async (request, reply) => {
    const names = await approvals(db)
    const corrected = await correctedSince(db)
    const closings = (await listClosings(db)).map((closing) => ({
      ...closing,
      second: names.get(closing.id)?.approverName ?? null,
      cash: moneyOf(request, closing.cashMinor),
      gaps: closing.found.map((gap) => gapWords(request, gap)),
      since: corrected.get(closing.id) ?? [],
    }))
    const books = await slipBooks(db)
    return page({ request, reply }, 'abstractions/closings', {
      title: 'abstractions.closings.title',
      ...{ closings, books, bookEnd: await endOfBook(db) },
    })
  })

  app.post<{ Params: { id: string } }>(
    '/closings/:id/second-name',
    { preHandler: may('abstraction.log') },
    async (request, reply) => {
      const closing = found((await listClosings(db)).find((one) => one.id === request.params.id))
      if ((await approvals(db)).has(closing.id)) throw new PageError(409, 'error.page-409')
      return write(
        { db, request, reply, at: now() },
        (pen) => approve(pen, closing.id),
        () => '/log/closings',
      )
    },
  )

  const common = { permission: 'abstraction.log' as const, back: '/log/closings' }
  addRegister(app, parts, {
    ...common,
    ...{ path: '/log/closings', kind: 'log-closing', title: 'abstractions.closings.new', onField: 'toOn' },
    intro: ['abstractions.closings.how'],
    form: (request) => closingForm(moneyWords(request.visit).currency),
    start: async () => ({ span: 'day' }),
    kept: {
      tables: ['log_closing'],
      typed: ({ log_closing: [row] = [] }, currency) => ({
        ...{ span: row!.span, pumpId: row!.pump_id, toOn: row!.to_on, meter: figure(row!.meter_m3) },
        ...{ hourMeter: figure(row!.hour_meter_h), firstSlip: figure(row!.first_slip_no) },
        ...{ lastSlip: figure(row!.last_slip_no), cashToId: row!.cash_to_id ?? '', words: row!.words ?? '' },
        cash: row!.cash_minor === null ? '' : moneyText({ amountMinor: row!.cash_minor, currency }),
      }),
    },
    facts: async ({ span, pumpId, toOn, meter, hourMeter, firstSlip, lastSlip, cash, cashToId, words }, request) => {
      if ((firstSlip === null) !== (lastSlip === null)) return trouble('lastSlip', 'abstractions.closings.both-slips')
      if (firstSlip !== null && (lastSlip! < firstSlip || lastSlip! - firstSlip > MOST_SLIPS)) {
        return trouble('lastSlip', 'abstractions.closings.slips-backwards')
      }
      if (cash !== null && cashToId === null) return trouble('cashToId', 'abstractions.closings.cash-to-whom')
      const fromOn = span === 'day' ? toOn : addDays(toOn, -6)
      const closed = { pumpId, fromOn, toOn, firstSlipNo: firstSlip, lastSlipNo: lastSlip, meterM3: meter }
      const gaps = await gapsOf(db, { ...closed, timeZone: request.visit.group?.timeZone ?? 'UTC' })
      const row = { span, pump_id: pumpId, from_on: fromOn, to_on: toOn, meter_m3: meter, hour_meter_h: hourMeter }
      const slips = { first_slip_no: firstSlip, last_slip_no: lastSlip }
      const handed = { cash_minor: cash, cash_to_id: cashToId, words, found: JSON.stringify(gaps) }
      return { log_closing: [{ ...row, ...slips, ...handed }] }
    },
  })
  addRegister(app, parts, {
    ...common,
    ...{ path: '/log/slip-books', kind: 'slip-book', title: 'abstractions.closings.new-book', onField: 'fromOn' },
    form: () => SlipBookForm,
    kept: {
      tables: ['slip_book'],
      typed: ({ slip_book: [row] = [] }) => ({
        ...{ pumpId: row!.pump_id, fromOn: row!.from_on },
        ...{ firstNo: figure(row!.first_no), lastNo: figure(row!.last_no) },
      }),
    },
    facts: async ({ pumpId, firstNo, lastNo, fromOn }, _request, corrects) => {
      if (lastNo < firstNo || lastNo - firstNo > MOST_SLIPS)
        return trouble('lastNo', 'abstractions.closings.slips-backwards')
      const taken = (await slipBooks(db)).find(
        (book) => book.id !== corrects && firstNo <= book.lastNo && lastNo >= book.firstNo,
      )
      if (taken)
        return trouble('firstNo', 'abstractions.closings.book-taken', { first: taken.firstNo, last: taken.lastNo })
      return { slip_book: [{ pump_id: pumpId, first_no: firstNo, last_no: lastNo, from_on: fromOn }] }
    },
  })
}

function moneyOf({ visit }: FastifyRequest, amountMinor: number | null): string | null {
  return amountMinor === null ? null : moneyWords(visit).money(amountMinor)
}

function gapWords({ visit: { locale, format } }: FastifyRequest, { code, values }: Gap): string {
  const shown: Values = typeof values.on === 'string' ? { ...values, on: format.date(values.on) } : values
  return locale.t(`abstractions.gap.${code}`, shown)
}
