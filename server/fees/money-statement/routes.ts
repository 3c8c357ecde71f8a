import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { InputError } from '../../../domain/input-error.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError, withInputError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { cashBook } from '../cash/book.ts'
import { listAccounts } from '../ledger/account-store.ts'
import { listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { receiptKey } from '../receipt/store.ts'
import { statementMatch } from '../reconcile/counted.ts'
import { moneyStatementForm } from '../treasury-forms.ts'
import { readStatementLines } from './csv.ts'
import { listMoneyStatements, type MoneyStatement, recordStatement } from './store.ts'

type WithId = { Params: { id: string } }

/** What the bank or the wallet says, brought in and matched with the book line by line. */
export function addMoneyStatementRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/money-statements', { preHandler: may('money.see-all') }, async (request, reply) => {
    const statements = (await listMoneyStatements(db)).toReversed()
    const { format } = request.visit
    const { money } = moneyWords(request.visit)
    return page({ request, reply }, 'fees/money-statement/list', {
      title: 'money.statements-title',
      statements: statements.map(({ id, column, toOn, closingMinor, lines }) => ({
        ...{ id, column, date: format.date(toOn), amount: money(closingMinor), lines: lines.length },
      })),
    })
  })

  app.get('/money-statements/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showForm(request, reply, emptyForm({ toOn: request.visit.today, order: 'year-first' })),
  )

  app.post('/money-statements', { preHandler: may('payment.record') }, async (request, reply) => {
    const { currency } = moneyWords(request.visit)
    const form = readForm(moneyStatementForm(currency), request.body)
    if (!form.ok) return showForm(request, reply, form)
    const { column, toOn, closing, order, lines, file } = form.data
    if (toOn > request.visit.today) return showForm(request, reply, withError(form, 'toOn', 'money.day-to-come'))
    try {
      const text = file ?? lines
      const read = text === null ? [] : readStatementLines(text, { currency, order })
      return await write(
        { db, request, reply, at: now() },
        (pen) => recordStatement(pen, { column, toOn, closingMinor: closing, lines: read }),
        (id) => `/money/money-statements/${id}`,
      )
    } catch (error) {
      if (!(error instanceof InputError)) throw error
      if (!error.code.startsWith('statement-')) return showForm(request, reply, withInputError(form, 'lines', error))
      return showForm(request, reply, withError(form, 'lines', `money.${error.code}`, error.values))
    }
  })

  app.get<WithId>('/money-statements/:id', { preHandler: may('money.see-all') }, async (request, reply) => {
    const statement = found((await listMoneyStatements(db)).find(({ id }) => id === request.params.id))
    return page({ request, reply }, 'fees/money-statement/page', {
      title: 'money.statement.heading',
      titleValues: {
        column: request.visit.locale.t(`fees.payment.column.${statement.column}`),
        date: request.visit.format.date(statement.toOn),
      },
      ...(await matched(request, statement)),
    })
  })

  async function matched(request: FastifyRequest, statement: MoneyStatement) {
    const { format, locale } = request.visit
    const { money } = moneyWords(request.visit)
    const known = { transfers: await listTransfers(db), accounts: await listAccounts(db) }
    const book = cashBook({ ...known, from: '0001-01-01', to: statement.toOn }).closingMinor[statement.column]
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
      result: locale.t(
        difference === 0 ? 'money.count.agrees' : difference < 0 ? 'money.statement.less' : 'money.statement.more',
        { amount: money(Math.abs(difference)) },
      ),
      by: locale.t('money.signed', { name: statement.writerName, when: format.instant(statement.writtenAt) }),
      hasLines: statement.lines.length > 0,
      pairs: match.pairs.map(({ line, transfer }) => ({ line: own(line), entry: entry(transfer) })),
      onlyOnStatement: match.onlyOnStatement.map(own),
      onlyInBook: match.onlyInBook.map(({ transfer }) => entry(transfer)),
    }
  }

  function showForm(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: 'money.statement.title',
        form: moneyStatementForm(moneyWords(request.visit).currency),
        filled,
        action: '/money/money-statements',
        intro: ['money.statement.intro'],
        back: '/money/money-statements',
      },
    )
  }
}
