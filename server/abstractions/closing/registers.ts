import { addDays } from '../../../domain/calendar.ts'
import { moneyText } from '../../../domain/money/money.ts'
import { weekOf } from '../../../domain/weeks.ts'
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
const COMMON = { permission: 'abstraction.log', back: '/log/close' } as const

/** The day or the week of a pump as it was closed, with what was missing then. */
export const closingRegister: Register<ReturnType<typeof closingForm>['fields']> = {
  ...COMMON,
  writtenAt: '/log/close?as=new',
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
    path: '/log/lines/closing',
    tables: ['logClosing'],
    typed: ({ logClosing: [row] = [] }, currency) => ({
      span: row!.span,
      pumpId: row!.pumpId,
      toOn: row!.toOn,
      meter: figure(row!.meterM3),
      hourMeter: figure(row!.hourMeterH),
      firstSlip: figure(row!.firstSlipNo),
      lastSlip: figure(row!.lastSlipNo),
      cashToId: row!.cashToId ?? '',
      words: row!.words ?? '',
      cash: row!.cashMinor === null ? '' : moneyText({ amountMinor: row!.cashMinor, currency }),
    }),
  },
  facts: async (data, { db, timeZone, group }) => {
    const { span, pumpId, toOn, meter, hourMeter, firstSlip, lastSlip, cash, cashToId, words } = data
    if ((firstSlip === null) !== (lastSlip === null)) return trouble('lastSlip', 'abstractions.closings.both-slips')
    if (firstSlip !== null && !isSpanOfSlips(firstSlip, lastSlip!)) {
      return trouble('lastSlip', 'abstractions.closings.slips-backwards')
    }
    if (cash !== null && cashToId === null) return trouble('cashToId', 'abstractions.closings.cash-to-whom')
    const fromOn = span === 'day' ? toOn : addDays(toOn, 1 - weekOf(toOn, group).days)
    const closed = { pumpId, fromOn, toOn, firstSlipNo: firstSlip, lastSlipNo: lastSlip, meterM3: meter }
    const gaps = await gapsOf(db, { ...closed, timeZone })
    const row = { span, pumpId, fromOn, toOn, meterM3: meter, hourMeterH: hourMeter }
    const slips = { firstSlipNo: firstSlip, lastSlipNo: lastSlip }
    const handed = { cashMinor: cash, cashToId, words, found: JSON.stringify(gaps) }
    return { logClosing: [{ ...row, ...slips, ...handed }] }
  },
}

/** The numbered books from which slips are torn. */
export const slipBookRegister: Register<typeof SlipBookForm.fields> = {
  ...COMMON,
  writtenAt: '/paper/numbers',
  kind: 'slip-book',
  title: 'abstractions.closings.new-book',
  onField: 'fromOn',
  form: () => SlipBookForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  lines: {
    path: '/log/lines/slip-book',
    tables: ['slipBook'],
    typed: ({ slipBook: [row] = [] }) => ({
      pumpId: row!.pumpId,
      fromOn: row!.fromOn,
      firstNo: figure(row!.firstNo),
      lastNo: figure(row!.lastNo),
    }),
  },
  facts: async ({ pumpId, firstNo, lastNo, fromOn }, { db }, corrects) => {
    if (!isSpanOfSlips(firstNo, lastNo)) return trouble('lastNo', 'abstractions.closings.slips-backwards')
    const taken = (await slipBooks(db)).find(
      (book) => book.id !== corrects && firstNo <= book.lastNo && lastNo >= book.firstNo,
    )
    if (taken)
      return trouble('firstNo', 'abstractions.closings.book-taken', { first: taken.firstNo, last: taken.lastNo })
    return { slipBook: [{ pumpId, firstNo, lastNo, fromOn }] }
  },
}

function isSpanOfSlips(first: number, last: number): boolean {
  return last >= first && last - first <= MOST_SLIPS
}
