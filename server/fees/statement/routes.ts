import type { FastifyInstance, FastifyRequest } from 'fastify'
import type { Parts } from '../../parts.ts'
import { findPerson } from '../../people/person/store.ts'
import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { memberAccount } from '../ledger/account-store.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { type AccountLine, accountLines } from './lines.ts'

type WithPerson = { Params: { personId: string } }

/** One member's own account, on the page and as a list. */
export function addStatementRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get<WithPerson>('/statements/:personId', { preHandler: may('money.see-own') }, async (request, reply) => {
    const { person, lines, closingMinor } = await statementFor(request)
    const words = moneyWords(request.visit)
    return page({ request, reply }, 'fees/statement/page', {
      title: 'fees.statement.title',
      titleValues: { name: person.name },
      member: person,
      balance: words.balance(closingMinor),
      lines: lines.map((line) => statementLineShown(request, line)),
      counts: {
        charges: lines.filter((line) => line.transfer.abstractionId !== null).length,
        receipts: lines.filter((line) => line.transfer.receiptNumber !== null).length,
      },
    })
  })

  app.get<WithPerson>('/statements/:personId.csv', { preHandler: may('money.see-own') }, async (request, reply) => {
    const { person, lines } = await statementFor(request)
    const { t } = request.visit.locale
    const { cell, currency } = moneyWords(request.visit)
    const csv = writeCsv({
      columns: [
        t('fees.statement.date'),
        t('fees.statement.what'),
        t('fees.csv.volume'),
        t('fees.csv.charged', { currency }),
        t('fees.csv.paid', { currency }),
        t('fees.csv.balance', { currency }),
        t('fees.receipt.number'),
      ],
      rows: lines.map((line) => [
        line.transfer.on,
        line.what,
        line.volumeM3,
        cell(line.chargedMinor),
        cell(line.paidMinor),
        cell(line.balanceMinor),
        line.transfer.receiptNumber,
      ]),
    })
    return sendCsv(reply, `statement-${person.number}`, csv)
  })

  async function statementFor(request: FastifyRequest) {
    const { personId } = request.params as { personId: string }
    onlyMoneyOf(request, personId)
    const person = found(await findPerson(db, personId))
    const accountId = found(await memberAccount(db, personId))
    return { person, ...(await accountLines(db, request, accountId)) }
  }
}

export function statementLineShown(request: FastifyRequest, line: AccountLine) {
  const words = moneyWords(request.visit)
  const open = line.openMinor
  return {
    date: request.visit.format.date(line.transfer.on),
    what: line.what,
    href: line.href,
    workingHref: line.workingHref,
    estimated: line.estimated,
    charged: words.moneyOrNothing(line.chargedMinor),
    paid: words.moneyOrNothing(line.paidMinor),
    balance: words.balanceShort(line.balanceMinor),
    open: open === null ? '' : open === 0 ? request.visit.locale.t('fees.statement.settled') : words.money(open),
  }
}
