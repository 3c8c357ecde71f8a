import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { fineForm } from '../arrears/forms.ts'
import { listPayers } from '../payers.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { confirmFine, type Fine, lapseFine, listFines, writeFine } from './store.ts'

type WithId = { Params: { id: string } }

/** Fines: a rule, a fact, a hearing and a second name come before the money; an unpaid one lapses. */
export function addFineRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/fines', { preHandler: may('money.see-all') }, async (request, reply) => {
    const fines = (await listFines(db)).toReversed()
    return page({ request, reply }, 'fees/fine/list', {
      title: 'money.fines-title',
      fines: fines.map((fine) => fineShown(request, fine)),
    })
  })

  app.get('/fines/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showForm(request, reply, emptyForm({ heardOn: request.visit.today })),
  )

  app.post('/fines', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(fineForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showForm(request, reply, form)
    const { amount, ...fine } = form.data
    if (!(await listPayers(db)).has(fine.personId)) {
      return showForm(request, reply, withError(form, 'personId', 'error.choose'))
    }
    if (fine.heardOn > request.visit.today) {
      return showForm(request, reply, withError(form, 'heardOn', 'money.fine.heard-first'))
    }
    if (fine.lapseOn <= fine.heardOn) {
      return showForm(request, reply, withError(form, 'lapseOn', 'money.fine.lapse-later'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => writeFine(pen, { ...fine, amountMinor: amount }),
      (id) => `/money/fines/${id}`,
    )
  })

  app.get<WithId>('/fines/:id', { preHandler: may('money.see-own') }, async (request, reply) => {
    const fine = await fineFor(request)
    const own = request.person!.id
    const { today } = request.visit
    const roles = request.person!.roles
    return page({ request, reply }, 'fees/fine/page', {
      title: 'money.fine.heading',
      titleValues: { name: fine.personName },
      fine: fineShown(request, fine),
      mayConfirm: mayConfirm(request, fine),
      mayLapse:
        fine.transfer && !fine.lapsed && today >= fine.lapseOn && mayDo({ roles, permission: 'payment.record' }) && own,
    })
  })

  app.post<WithId>('/fines/:id/approval', { preHandler: may('fine.approve') }, async (request, reply) => {
    const fine = await fineFor(request)
    if (!mayConfirm(request, fine)) throw new PageError(409, 'error.page-409')
    return write(
      { db, request, reply, at: now() },
      (pen) => confirmFine(pen, fine, request.visit.today),
      () => '/money',
    )
  })

  app.post<WithId>('/fines/:id/lapse', { preHandler: may('payment.record') }, async (request, reply) => {
    const fine = await fineFor(request)
    if (!fine.transfer || fine.lapsed || request.visit.today < fine.lapseOn) throw new PageError(409, 'error.page-409')
    const reason = request.visit.locale.t('money.fine.lapse-reason', { rule: fine.rule })
    return write(
      { db, request, reply, at: now() },
      (pen) => lapseFine(pen, fine, { onDate: request.visit.today, reason }),
      () => `/money/fines/${fine.id}`,
    )
  })

  /** A fine that waits for its second name is open to the officers who may give it, and to nobody by its money after that. */
  async function fineFor(request: FastifyRequest): Promise<Fine> {
    const { id } = request.params as { id: string }
    const fine = (await listFines(db)).find((one) => one.id === id)
    if (!fine || !mayConfirm(request, fine)) onlyMoneyOf(request, fine?.personId)
    return found(fine)
  }

  async function showForm(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    return formPage(
      { request, reply },
      {
        title: 'money.fine.title',
        form: fineForm(moneyWords(request.visit).currency),
        filled,
        options: {
          personId: payers.map(({ personId, number, name }) => ({ value: personId, label: `${number} ${name}` })),
        },
        action: '/money/fines',
        intro: ['money.fine.intro'],
        back: '/money/fines',
      },
    )
  }
}

/** Not by the writer, and not in one's own matter. */
function mayConfirm(request: FastifyRequest, fine: Fine): boolean {
  const { id, roles } = request.person!
  return !fine.approval && fine.writerId !== id && fine.personId !== id && mayDo({ roles, permission: 'fine.approve' })
}

function fineShown(request: FastifyRequest, fine: Fine) {
  const { format, locale } = request.visit
  const { approval } = fine
  const state = fine.lapsed ? 'lapsed' : fine.transfer ? 'posted' : 'waits'
  return {
    id: fine.id,
    name: fine.personName,
    rule: fine.rule,
    fact: fine.fact,
    hearing: locale.t('money.fine.heard-line', { date: format.date(fine.heardOn), words: fine.hearing }),
    amount: moneyWords(request.visit).money(fine.amountMinor),
    lapse: format.date(fine.lapseOn),
    state: locale.t(`money.fine.state.${state}`),
    writer: locale.t('money.signed', { name: fine.writerName, when: format.instant(fine.writtenAt) }),
    second:
      approval && locale.t('money.signed', { name: approval.approverName, when: format.instant(approval.approvedAt) }),
  }
}
