import { balanceOf } from '../../../domain/fees/ledger.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { Facts } from '../../book/entries.ts'
import { NAME_NEEDED } from '../../book/name-needed.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import { write } from '../../book/pen.ts'
import { hasSecondOfficer } from '../../people/person/grave-store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError, withInputError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'

import { listAccounts } from '../ledger/account-store.ts'
import { transfersOf, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { seesAllMoney } from '../privacy.ts'
import { receiptKey } from '../receipt/store.ts'
import { secondName, signed } from '../signed.ts'
import { columnsForm, moneyStatementForm } from './forms.ts'
import { statementMatch } from './match.ts'
import { headingsOf, readStatementLines } from './reading.ts'
import { listMoneyStatements, type MoneyStatement, recordStatement } from './store.ts'

/** What the bank or the wallet says, brought in and matched with the book line by line. */
export function addMoneyStatementPages({ get, post }: Pages): void {
  get('/money/bank-paper', 'payment.record', newStatement)
  post('/money/bank-paper', 'payment.record', writeStatement)
  get('/money/names/bank-paper/:id', 'closing.see', showStatement)
}

/** The papers of bank and wallet, the last first, for the page of what is held. */
export async function statementsShown(desk: Desk) {
  const { inRow } = moneyWords(desk)
  return (await listMoneyStatements(desk.db))
    .toReversed()
    .map(({ id, column, toOn, closingMinor, lines, unnamed }) => ({
      id,
      column,
      unnamed,
      date: desk.format.date(toOn),
      amount: inRow(closingMinor),
      lines: lines.length,
    }))
}

async function newStatement(desk: Desk) {
  return showForm(desk, emptyForm({ toOn: desk.today, order: 'year-first' }))
}

async function writeStatement(desk: Desk) {
  const { currency } = moneyWords(desk)
  const form = readForm(columnsForm(currency), desk.body)
  if (!form.ok) return showForm(desk, form)
  const { column, toOn, closing, order, lines, file, ...names } = form.data
  if (toOn > desk.today) return showForm(desk, withError(form, 'toOn', 'money.day-to-come'))
  const text = file ?? lines
  // A file cannot be sent back into its field, so its lines are, for the form to be sent again.
  const kept = { ...form, values: { ...form.values, lines: text ?? '' } }
  const asks = await asksForName(desk)
  try {
    const read = text === null ? [] : readStatementLines(text, { currency, order, names })
    return await write(
      desk,
      (pen) => recordStatement(pen, { column, toOn, closingMinor: closing, lines: read }, asks),
      (id) => `/money/names/bank-paper/${id}`,
    )
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    if (!error.code.startsWith('statement-')) return showForm(desk, withInputError(kept, 'lines', error))
    return showForm(desk, withError(kept, 'lines', `money-statement.${error.code}`, error.values))
  }
}

/** A balance that only its writer has read says nothing, where anybody else could have looked at the paper. */
async function asksForName({ db, person, at, today }: Desk): Promise<Facts> {
  const isAlone = !(await hasSecondOfficer(db, { writerId: person.id, personId: null, at, today }, 'closing.see'))
  return isAlone || (await isNewBook(db, at.toISOString())) ? {} : NAME_NEEDED
}

async function showStatement(desk: Desk<'id'>) {
  const statement = found((await listMoneyStatements(desk.db)).find(({ id }) => id === desk.params.id))
  return page(desk, 'fees/money-statement/page', {
    title: 'money-statement.statement.heading',
    titleValues: {
      column: desk.t(`fees.payment.column.${statement.column}`),
      date: desk.format.date(statement.toOn),
    },
    ...(await matched(desk, statement)),
    names: statement.isAsked ? await namesShown(desk, statement.id) : null,
  })
}

async function matched(desk: Desk, statement: MoneyStatement) {
  const { format, locale } = desk
  const { inRow, money } = moneyWords(desk)
  const accounts = await listAccounts(desk.db)
  const { id: accountId } = accounts.find(({ code }) => code === statement.column)!
  const known = { transfers: await transfersOf(desk.db, accountId), accounts }
  const book = balanceOf({ transfers: known.transfers, accountId, asOf: statement.toOn })
  const match = statementMatch(statement, known)
  const own = (line: { on: string; amountMinor: number; words: string }) => ({
    date: format.date(line.on),
    amount: money(line.amountMinor),
    words: line.words,
  })
  const entry = (transfer: WrittenTransfer) => ({
    href: transfer.receiptNumber === null ? '/money/cash-book' : `/money/receipts/${receiptKey(transfer)}`,
    label:
      transfer.receiptNumber === null
        ? locale.t(`fees.kind.${transfer.kind}`)
        : locale.t('fees.receipt.title', { number: transfer.receiptNumber }),
    date: format.date(transfer.on),
    amount: money(transfer.amountMinor),
  })
  const difference = statement.closingMinor - book
  return {
    closing: money(statement.closingMinor),
    book: money(book),
    unnamed: statement.unnamed,
    result: locale.t(
      difference === 0
        ? 'cash.count.agrees'
        : difference < 0
          ? 'money-statement.statement.less'
          : 'money-statement.statement.more',
      { amount: money(Math.abs(difference)) },
    ),
    by: signed(desk, statement.writerName, statement.writtenAt),
    confirmed: secondName(desk, statement.approval),
    // Its lines say who paid: whoever keeps no money looks at the balances.
    seesLines: seesAllMoney(desk),
    hasLines: statement.lines.length > 0,
    pairs: match.pairs.map(({ line, transfer }) => ({
      line: { ...own(line), amount: inRow(line.amountMinor) },
      entry: entry(transfer),
    })),
    onlyOnStatement: match.onlyOnStatement.map(own),
    onlyInBook: match.onlyInBook.map(({ transfer }) => entry(transfer)),
  }
}

/** With a list whose headings are not ours the form asks which column is which; the list stays in it. */
function showForm(desk: Desk, filled: Filled) {
  const { values } = filled
  const headings = typeof values.lines === 'string' && values.lines ? headingsOf(values.lines) : null
  const option = (heading: string) => ({ value: heading, label: heading })
  const asked = headings && Object.keys(filled.errors).length > 0 ? headings.map(option) : null
  const { currency } = moneyWords(desk)
  return formPage(desk, {
    title: 'money-statement.statement.title',
    form: asked ? columnsForm(currency) : moneyStatementForm(currency),
    filled,
    ...(asked && { options: { dateColumn: asked, inColumn: asked, outColumn: asked, wordsColumn: asked } }),
    action: '/money/bank-paper',
    intro: ['money-statement.statement.intro'],
    back: '/money/held?open=papers#papers',
  })
}
