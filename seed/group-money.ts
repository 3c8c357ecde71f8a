import { addDays } from '../domain/calendar.ts'
import { balanceOf } from '../domain/fees/ledger.ts'
import { approve } from '../server/book/names/approvals.ts'
import { writePromise } from '../server/fees/arrears/promise-store.ts'
import { writeRelief } from '../server/fees/arrears/relief-store.ts'
import { cashBook } from '../server/fees/cash/book.ts'
import { recordCount } from '../server/fees/cash/count-store.ts'
import { groupAccount, listAccounts, memberAccount } from '../server/fees/ledger/account-store.ts'
import { listTransfers } from '../server/fees/ledger/transfer-store.ts'
import { recordStatement } from '../server/fees/money-statement/store.ts'
import { listKindRates, recordKindPayment, setKindRate } from '../server/fees/payment/kind-store.ts'
import { addReceiptBook } from '../server/fees/receipt/book-store.ts'
import { recordPayment } from '../server/fees/receipt/store.ts'
import { askReserveMove, moveReserve } from '../server/fees/voucher/reserve-store.ts'
import { type NewVoucher, payVoucher, setFloatLimit, writeVoucher } from '../server/fees/voucher/store.ts'
import { penOf, type Scene } from './scene.ts'
import { PERSONS } from './valley.ts'

const [CHAIR, SECRETARY, THIRD] = PERSONS.map(({ name }) => name) as [string, string, string]
const TREASURER = PERSONS.find(({ roles }) => roles.includes('treasurer'))!.name
const ATTENDANTS = PERSONS.filter(({ roles }) => roles.includes('attendant')).map(({ name }) => name)
const AUDITOR = PERSONS.find(({ roles }) => roles.includes('auditor'))!.name
const STIPEND_A_DAY = 400
/** Money is spent, counted and put by in these weeks; a number of the paper book has not turned up yet. */
const RATES_WEEK = 1
const STIPEND_EVERY = 4
const SPARES_WEEK = 8
const COUNT_WEEKS = [7, 11, 15]
const PAPER_WEEK = 9
const PROMISE_WEEK = 14

/** The treasurer's other work of a week, written on its Sunday. */
export async function keepGroupMoney(scene: Scene, sunday: string, week: number): Promise<void> {
  if (week === RATES_WEEK) await setRates(scene, sunday)
  if (week > STIPEND_EVERY && week % STIPEND_EVERY === 1) await payStipends(scene, sunday)
  if (week === SPARES_WEEK) await buySpares(scene, sunday)
  if (week === PAPER_WEEK) await keepPaperBook(scene, addDays(sunday, -1))
  if (COUNT_WEEKS.includes(week)) await count(scene, sunday)
  if (week === PROMISE_WEEK) await agreeOnArrears(scene, sunday)
}

async function setRates(scene: Scene, on: string): Promise<void> {
  const pen = () => penOf(scene, TREASURER, on, '17:00')
  await setKindRate(pen(), { fromOn: on, kind: 'labour', name: 'day of work', priceMinor: 900, minute: 'minute 7' })
  await setKindRate(pen(), {
    fromOn: on,
    kind: 'produce',
    name: 'kg of dry onions',
    priceMinor: 150,
    minute: 'minute 7',
  })
  await setFloatLimit(pen(), { fromOn: on, limitMinor: 25_000 })
}

async function pay(scene: Scene, on: string, voucher: NewVoucher): Promise<void> {
  const held = balanceOf({
    transfers: await listTransfers(scene.trx),
    accountId: await groupAccount(scene.trx, voucher.column),
  })
  if (held < voucher.amountMinor) return
  const id = await writeVoucher(penOf(scene, TREASURER, on, '17:10'), voucher)
  await approve(penOf(scene, CHAIR, on, '17:30'), id)
  await approve(penOf(scene, THIRD, on, '17:40'), id)
  await payVoucher(penOf(scene, TREASURER, on, '17:50'), { id, onDate: on, words: voucher.purpose })
}

async function payStipends(scene: Scene, on: string): Promise<void> {
  const fromOn = addDays(on, -27)
  for (const name of ATTENDANTS) {
    const personId = scene.persons.get(name)!
    const rows = await scene.trx
      .selectFrom('abstraction')
      .innerJoin('entry', 'entry.id', 'abstraction.entryId')
      .where('entry.writtenBy', '=', personId)
      .where('onDate', '>=', fromOn)
      .where('onDate', '<=', on)
      .select('onDate')
      .distinct()
      .execute()
    if (rows.length === 0) continue
    await pay(scene, on, {
      payee: name,
      purpose: 'pump days of four weeks',
      category: 'stipend',
      column: 'cash',
      invoice: null,
      amountMinor: rows.length * STIPEND_A_DAY,
      stipend: { personId, fromOn, toOn: on, days: rows.length },
    })
  }
}

async function buySpares(scene: Scene, on: string): Promise<void> {
  const spares = { payee: 'market stall of pipe parts', purpose: 'two valves and tape', invoice: 'bill 88' }
  await pay(scene, on, { ...spares, category: 'spares', column: 'cash', amountMinor: 2600, stipend: null })
  const move = { way: 'in', column: 'cash', amountMinor: 2000, words: 'put by for the next pump' } as const
  const cash = balanceOf({
    transfers: await listTransfers(scene.trx),
    accountId: await groupAccount(scene.trx, 'cash'),
  })
  if (cash < move.amountMinor) return
  const id = await askReserveMove(penOf(scene, TREASURER, on, '18:00'), move)
  await moveReserve(penOf(scene, CHAIR, on, '18:10'), { id, onDate: on })
}

/** A market day without the laptop: three receipts on paper, one number of which has not turned up yet. */
async function keepPaperBook(scene: Scene, on: string): Promise<void> {
  const book = { name: 'Brown', firstNumber: 301, lastNumber: 350 }
  const id = await addReceiptBook(penOf(scene, TREASURER, on, '19:00'), book)
  for (const [number, at] of [
    [301, 10],
    [302, 14],
    [304, 18],
  ] as const) {
    const personId = scene.persons.get(PERSONS[at]!.name)!
    const payment = { personId, amountMinor: 500, column: 'cash', onDate: on, receipt: { book: id, number } } as const
    await recordPayment(penOf(scene, TREASURER, on, '19:05'), payment)
  }
}

/** The coins agree with the book to the last one; the wallet's balance is read off the same evening. */
async function count(scene: Scene, on: string): Promise<void> {
  const [transfers, accounts] = [await listTransfers(scene.trx), await listAccounts(scene.trx)]
  const held = cashBook({ transfers, accounts, from: '0001-01-01', to: on }).closingMinor
  const countedMinor = held.cash
  const pen = penOf(scene, TREASURER, on, '20:00')
  const id = await recordCount(pen, { countedOn: on, countedMinor, secondId: scene.persons.get(AUDITOR)! })
  await approve(penOf(scene, AUDITOR, on, '20:05'), id)
  if (held.reserve > 0) {
    const apart = { countedOn: on, column: 'reserve', countedMinor: held.reserve } as const
    const second = { secondId: scene.persons.get(AUDITOR)! }
    const counted = await recordCount(penOf(scene, TREASURER, on, '20:06'), { ...apart, ...second })
    await approve(penOf(scene, AUDITOR, on, '20:08'), counted)
  }
  const statement = { column: 'wallet', toOn: on, closingMinor: held.wallet, lines: [] } as const
  await recordStatement(penOf(scene, TREASURER, on, '20:10'), { ...statement, lines: [] })
}

async function agreeOnArrears(scene: Scene, on: string): Promise<void> {
  const rate = (await listKindRates(scene.trx))[0]!
  const worker = scene.persons.get(PERSONS[20]!.name)!
  const work = { rate, quantity: 2, onDate: on, words: '2 × day of work' }
  await recordKindPayment(penOf(scene, TREASURER, on, '16:40'), { ...work, personId: worker })
  const late = scene.persons.get(PERSONS[22]!.name)!
  const promise = { amountMinor: 1000, every: 'month', firstOn: addDays(on, 3), times: 4 } as const
  await writePromise(penOf(scene, TREASURER, on, '16:50'), {
    ...promise,
    personId: late,
    words: 'after the onion harvest',
  })
  const relieved = scene.persons.get(PERSONS[26]!.name)!
  const accountId = (await memberAccount(scene.trx, relieved))!
  const owed = balanceOf({ transfers: await listTransfers(scene.trx), accountId })
  if (owed < 500) return
  const relief = { amountMinor: 500, minute: 'minute 21', words: 'half of the labour days, by the meeting' }
  const askedId = scene.persons.get(SECRETARY)!
  await writeRelief(penOf(scene, TREASURER, on, '17:00'), { ...relief, personId: relieved, askedId })
}
