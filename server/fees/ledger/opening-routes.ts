import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage, type Option } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { openingForm } from '../forms.ts'
import { listPayers } from '../payers.ts'
import { groupAccount, MONEY_COLUMNS } from './account-store.ts'
import { recordOpening } from './opening-store.ts'

/** What the accounts stood at before this book, for a group that did not begin with nothing. */
export function addOpeningRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/openings/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showOpening(request, reply, emptyForm({ onDate: request.visit.today, side: 'held-or-to-pay' })),
  )

  app.post('/openings', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(openingForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showOpening(request, reply, form)
    const { accountId, side, amount, onDate, words } = form.data
    if (!(await accountOptions(request)).some((option) => option.value === accountId)) {
      return showOpening(request, reply, withError(form, 'accountId', 'error.choose'))
    }
    if (onDate > request.visit.today)
      return showOpening(request, reply, withError(form, 'onDate', 'fees.opening.future'))
    return write(
      { db, request, reply, at: now() },
      (pen) => recordOpening(pen, { accountId, side, amountMinor: amount, onDate, words }),
      () => '/money',
    )
  })

  async function accountOptions(request: FastifyRequest): Promise<Option[]> {
    const { t } = request.visit.locale
    const held: Option[] = []
    for (const code of MONEY_COLUMNS) {
      held.push({ value: await groupAccount(db, code), label: t(`fees.payment.column.${code}`) })
    }
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    return [...held, ...payers.map(({ accountId, number, name }) => ({ value: accountId, label: `${number} ${name}` }))]
  }

  async function showOpening(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: 'fees.opening.title',
        form: openingForm(moneyWords(request.visit).currency),
        filled,
        options: { accountId: await accountOptions(request) },
        action: '/money/openings',
        intro: ['fees.opening.intro'],
        back: '/money',
      },
    )
  }
}
