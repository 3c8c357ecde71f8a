import { addDays } from '../../../domain/calendar.ts'
import { moneyText } from '../../../domain/money/money.ts'
import { type Register, trouble } from '../../book/register/register.ts'
import { listPersons } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { figure } from '../../web/forms/typed.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { listPumps } from '../../works/pump/store.ts'
import { closingForm, SlipBookForm } from './forms.ts'
import { gapsOf, slipBooks } from './store.ts'

/** A book of slips has hundreds of leaves, not more. */
const MOST_SLIPS = 2000
const COMMON = { permission: 'abstraction.log', back: '/log/closings' } as const

/** The day or the week of a pump as it was closed, with what was missing then. */
export const closingRegister: Register<ReturnType<typeof closingForm>['fields']> = {
  ...COMMON,
  path: '/log/closings',
  kind: 'log-closing',
  title: 'abstractions.closings.new',
  onField: 'toOn',
  intro: ['abstractions.closings.how'],
  form: ({ request }) => closingForm(moneyWords(request.visit).currency),
  start: async () => ({ span: 'day' }),
  options: async ({ db, today }) => ({
    pumpId: (await listPumps(db, today)).map(numberedOption),
    cashToId: (await listPersons(db)).map(numberedOption),
  }),
  lines: {
    tables: ['log_closing'],
    typed: ({ log_closing: [row] = [] }, currency) => ({
      span: row!.span,
      pumpId: row!.pump_id,
      toOn: row!.to_on,
      meter: figure(row!.meter_m3),
      hourMeter: figure(row!.hour_meter_h),
      firstSlip: figure(row!.first_slip_no),
      lastSlip: figure(row!.last_slip_no),
      cashToId: row!.cash_to_id ?? '',
      words: row!.words ?? '',
      cash: row!.cash_minor === null ? '' : moneyText({ amountMinor: row!.cash_minor, currency }),
    }),
  },
  facts: async (data, { db, timeZone }) => {
    const { span, pumpId, toOn, meter, hourMeter, firstSlip, lastSlip, cash, cashToId, words } = data
    if ((firstSlip === null) !== (lastSlip === null)) return trouble('lastSlip', 'abstractions.closings.both-slips')
    if (firstSlip !== null && !isSpanOfSlips(firstSlip, lastSlip!)) {
      return trouble('lastSlip', 'abstractions.closings.slips-backwards')
    }
    if (cash !== null && cashToId === null) return trouble('cashToId', 'abstractions.closings.cash-to-whom')
    const fromOn = span === 'day' ? toOn : addDays(toOn, -6)
    const closed = { pumpId, fromOn, toOn, firstSlipNo: firstSlip, lastSlipNo: lastSlip, meterM3: meter }
    const gaps = await gapsOf(db, { ...closed, timeZone })
    const row = { span, pump_id: pumpId, from_on: fromOn, to_on: toOn, meter_m3: meter, hour_meter_h: hourMeter }
    const slips = { first_slip_no: firstSlip, last_slip_no: lastSlip }
    const handed = { cash_minor: cash, cash_to_id: cashToId, words, found: JSON.stringify(gaps) }
    return { log_closing: [{ ...row, ...slips, ...handed }] }
  },
}

/** The numbered books from which slips are torn. */
export const slipBookRegister: Register<typeof SlipBookForm.fields> = {
  ...COMMON,
  path: '/log/slip-books',
  kind: 'slip-book',
  title: 'abstractions.closings.new-book',
  onField: 'fromOn',
  form: () => SlipBookForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  lines: {
    tables: ['slip_book'],
    typed: ({ slip_book: [row] = [] }) => ({
      pumpId: row!.pump_id,
      fromOn: row!.from_on,
      firstNo: figure(row!.first_no),
      lastNo: figure(row!.last_no),
    }),
  },
  facts: async ({ pumpId, firstNo, lastNo, fromOn }, { db }, corrects) => {
    if (!isSpanOfSlips(firstNo, lastNo)) return trouble('lastNo', 'abstractions.closings.slips-backwards')
    const taken = (await slipBooks(db)).find(
      (book) => book.id !== corrects && firstNo <= book.lastNo && lastNo >= book.firstNo,
    )
    if (taken)
      return trouble('firstNo', 'abstractions.closings.book-taken', { first: taken.firstNo, last: taken.lastNo })
    return { slip_book: [{ pump_id: pumpId, first_no: firstNo, last_no: lastNo, from_on: fromOn }] }
  },
}

function isSpanOfSlips(first: number, last: number): boolean {
  return last >= first && last - first <= MOST_SLIPS
}
