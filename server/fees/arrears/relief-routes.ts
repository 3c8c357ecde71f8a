import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { balanceOf } from '../../../domain/fees/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { allRoles, listPersons } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { transfersOf } from '../ledger/transfer-store.ts'
import { listPayers } from '../payers.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { reliefForm } from './forms.ts'
import { grantRelief, listReliefs, type Relief, writeRelief } from './relief-store.ts'

type WithId = { Params: { id: string } }

/** Relief by a minute and a second name: the officer who is asked sees this one matter and no other. */
export function addReliefRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<{ Querystring: { personId?: string } }>(
    '/reliefs/new',
    { preHandler: may('payment.record') },
    async (request, reply) => showForm(request, reply, emptyForm({ personId: request.query.personId ?? '' })),
  )

  app.post('/reliefs', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(reliefForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showForm(request, reply, form)
    const { personId, amount, minute, words, askedId } = form.data
    const payer = (await listPayers(db)).get(personId)
    if (!payer) return showForm(request, reply, withError(form, 'personId', 'error.choose'))
    if (!(await officers(request)).some(({ id }) => id === askedId) || askedId === personId) {
      return showForm(request, reply, withError(form, 'askedId', 'money.relief.other-officer'))
    }
    const { accountId } = payer
    const owed = balanceOf({ transfers: await transfersOf(db, accountId), accountId })
    if (amount > owed) {
      const values = { balance: moneyWords(request.visit).balance(owed) }
      return showForm(request, reply, withError(form, 'amount', 'money.relief.more-than-owed', values))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => writeRelief(pen, { personId, amountMinor: amount, minute, words, askedId }),
      (id) => `/money/reliefs/${id}`,
    )
  })

  app.get<WithId>('/reliefs/:id', { preHandler: may('money.see-own') }, async (request, reply) => {
    const relief = await reliefFor(request)
    const { format, locale } = request.visit
    const { id, personName, minute, words, askedName, approval } = relief
    return page({ request, reply }, 'fees/arrears/relief', {
      title: 'money.relief.heading',
      titleValues: { name: personName },
      relief: {
        ...{ id, minute, words, askedName },
        amount: moneyWords(request.visit).money(relief.amountMinor),
        writer: locale.t('money.signed', { name: relief.writerName, when: format.instant(relief.writtenAt) }),
        second:
          approval &&
          locale.t('money.signed', { name: approval.approverName, when: format.instant(approval.approvedAt) }),
      },
      mayApprove: !approval && relief.askedId === request.person!.id,
    })
  })

  app.post<WithId>('/reliefs/:id/approval', { preHandler: may('relief.approve') }, async (request, reply) => {
    const relief = await reliefFor(request)
    if (relief.askedId !== request.person!.id) throw new PageError(403, 'fees.page-403')
    if (relief.writerId === request.person!.id) throw new PageError(409, 'error.approval-by-the-writer')
    if (relief.approval) throw new PageError(409, 'error.page-409')
    return write(
      { db, request, reply, at: now() },
      (pen) => grantRelief(pen, relief, request.visit.today),
      () => `/money/reliefs/${relief.id}`,
    )
  })

  /** The asked officer, the person, the treasurer and the auditor; nobody else gets as far as a 404. */
  async function reliefFor(request: FastifyRequest): Promise<Relief> {
    const { id } = request.params as { id: string }
    const relief = (await listReliefs(db)).find((one) => one.id === id)
    if (relief?.askedId !== request.person!.id) onlyMoneyOf(request, relief?.personId)
    return found(relief)
  }

  async function officers(request: FastifyRequest) {
    const roles = await allRoles(db, request.visit.today)
    return (await listPersons(db)).filter(({ id }) => id !== request.person!.id && roles.get(id)?.includes('committee'))
  }

  async function showForm(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const option = ({ id, number, name }: { id: string; number: number; name: string }) => ({
      value: id,
      label: `${number} ${name}`,
    })
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    return formPage(
      { request, reply },
      {
        title: 'money.relief.title',
        form: reliefForm(moneyWords(request.visit).currency),
        filled,
        options: {
          personId: payers.map(({ personId, number, name }) => option({ id: personId, number, name })),
          askedId: (await officers(request)).map(option),
        },
        action: '/money/reliefs',
        intro: ['money.relief.intro'],
        back: '/money/arrears',
      },
    )
  }
}
