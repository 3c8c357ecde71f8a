import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { InputError } from '../../../domain/input-error.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPersons } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { closedDayError } from '../closing/closed-day.ts'
import { PayoutForm, voucherForm } from './forms.ts'
import { voucherShown } from './pages.ts'
import { heldIn } from './reserve-store.ts'
import {
  approveVoucher,
  daysInLog,
  listVouchers,
  NAMES_NEEDED,
  payVoucher,
  type Voucher,
  writeVoucher,
} from './store.ts'

type WithId = { Params: { id: string } }

/** What the group pays: a voucher first, two names under it, then the money. */
export function addVoucherRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/vouchers/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showForm(request, reply, emptyForm({ column: 'cash' })),
  )

  app.post('/vouchers', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(voucherForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showForm(request, reply, form)
    const { payee, purpose, category, amount, invoice, column } = form.data
    const stipend = stipendOf(form.data)
    if (stipend === 'incomplete') {
      return showForm(request, reply, withError(form, 'stipendDays', 'money.voucher.stipend-incomplete'))
    }
    if (column === 'reserve' && category !== 'replacement') {
      return showForm(request, reply, withError(form, 'column', 'money.voucher.reserve-only'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => writeVoucher(pen, { payee, purpose, category, amountMinor: amount, invoice, column, stipend }),
      (id) => `/money/vouchers/${id}`,
    )
  })

  app.get<WithId>('/vouchers/:id', { preHandler: may('voucher.see') }, async (request, reply) =>
    showVoucher(request, reply, await voucherOf(request), emptyForm({ onDate: request.visit.today })),
  )

  app.post<WithId>('/vouchers/:id/approval', { preHandler: may('voucher.approve') }, async (request, reply) => {
    const voucher = await voucherOf(request)
    if (hindrance(request, voucher)) throw new PageError(409, hindrance(request, voucher)!)
    return write(
      { db, request, reply, at: now() },
      (pen) => orConflict(() => approveVoucher(pen, voucher.id)),
      () => `/money/vouchers/${voucher.id}`,
    )
  })

  app.post<WithId>('/vouchers/:id/payout', { preHandler: may('payment.record') }, async (request, reply) => {
    const voucher = await voucherOf(request)
    if (voucher.names.length < NAMES_NEEDED) throw new PageError(409, 'money.voucher.needs-names')
    if (voucher.payout) throw new PageError(409, 'money.voucher.paid')
    const form = readForm(PayoutForm, request.body)
    if (!form.ok) return showVoucher(request, reply, voucher, form)
    const day = await closedDayError(db, request, form.data.onDate)
    if (day) return showVoucher(request, reply, voucher, withError(form, 'onDate', day.key, day.values))
    if ((await heldIn(db, voucher.column)) < voucher.amountMinor) {
      return showVoucher(request, reply, voucher, withError(form, 'onDate', 'money.voucher.not-enough'))
    }
    const words = request.visit.locale.t('money.voucher.line', { number: voucher.number, purpose: voucher.purpose })
    return write(
      { db, request, reply, at: now() },
      (pen) => orConflict(() => payVoucher(pen, { id: voucher.id, onDate: form.data.onDate, words })),
      () => `/money/vouchers/${voucher.id}`,
    )
  })

  async function voucherOf(request: FastifyRequest): Promise<Voucher> {
    const { id } = request.params as { id: string }
    return found((await listVouchers(db)).find((voucher) => voucher.id === id))
  }

  async function showForm(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const persons = await listPersons(db)
    return formPage(
      { request, reply },
      {
        title: 'money.voucher.title',
        form: voucherForm(moneyWords(request.visit).currency),
        filled,
        options: {
          stipendPersonId: persons.map(({ id, number, name }) => ({ value: id, label: `${number} ${name}` })),
        },
        action: '/money/vouchers',
        intro: ['money.voucher.intro'],
        back: '/money/vouchers',
      },
    )
  }

  async function showVoucher(request: FastifyRequest, reply: FastifyReply, voucher: Voucher, filled: Filled) {
    if (Object.keys(filled.errors).length > 0) reply.code(422)
    const { stipend } = voucher
    const days = stipend && (await daysInLog(db, stipend))
    const person = stipend && (await listPersons(db)).find(({ id }) => id === stipend.personId)
    return page({ request, reply }, 'fees/voucher/page', {
      title: 'money.voucher.heading',
      titleValues: { number: voucher.number },
      voucher: voucherShown(request, voucher),
      stipend: stipend && {
        name: person?.name ?? '',
        from: request.visit.format.date(stipend.fromOn),
        to: request.visit.format.date(stipend.toOn),
        days: stipend.days,
        own: days!.own,
        any: days!.any,
      },
      hindrance: hindrance(request, voucher),
      form: PayoutForm,
      filled,
      action: `/money/vouchers/${voucher.id}/payout`,
      submit: 'money.payout.submit',
    })
  }
}

/** Why this visitor cannot put a name under the voucher; null when nothing is in the way. */
function hindrance(request: FastifyRequest, voucher: Voucher): string | null {
  const own = request.person!.id
  if (voucher.names.length >= NAMES_NEEDED) return 'money.voucher.has-names'
  if (voucher.writerId === own) return 'error.approval-by-the-writer'
  return voucher.names.some(({ personId }) => personId === own) ? 'money.voucher.your-name' : null
}

/** Two people may press at the same moment; the second is told. */
async function orConflict(work: () => ReturnType<typeof approveVoucher>): ReturnType<typeof approveVoucher> {
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    if (error.code === 'not-enough-held') throw new PageError(409, 'money.voucher.not-enough')
    if (/^(approval|voucher)-/.test(error.code)) throw new PageError(409, 'error.page-409')
    throw error
  }
}

function stipendOf(data: {
  category: string
  stipendPersonId: string | null
  stipendFromOn: string | null
  stipendToOn: string | null
  stipendDays: number | null
}) {
  if (data.category !== 'stipend') return null
  const { stipendPersonId: personId, stipendFromOn: fromOn, stipendToOn: toOn, stipendDays: days } = data
  if (!personId || !fromOn || !toOn || !days || toOn < fromOn) return 'incomplete' as const
  return { personId, fromOn, toOn, days }
}
