import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { sum } from '../../../domain/sum.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { lastChargedDay } from '../charge/store.ts'
import { listPayers } from '../payers.ts'
import { PAYER_CLASSES } from '../tariff/store.ts'
import { lineWords } from '../tariff/words.ts'
import { PayerClassForm } from '../treasury-forms.ts'
import { setPayerClass } from './payer-class-store.ts'
import { type DueFee, dueFees, postFees } from './store.ts'
import { feeWorking } from './working.ts'

type WithFee = { Params: { personId: string; on: string; kind: string } }

/** Fees by the month and the season, seen before they are posted; and who pays as a tenant or a school. */
export function addFixedFeeRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/fixed-fees/new', { preHandler: may('charges.post') }, async (request, reply) => showDue(request, reply))

  app.post('/fixed-fees', { preHandler: may('charges.post') }, async (request, reply) => {
    const { today } = request.visit
    const due = await dueFees(db, { toOn: today })
    const { seen } = (request.body ?? {}) as { seen?: string }
    if (due.length === 0 || seen !== markOf(due)) return showDue(request, reply.code(409), true)
    return write(
      { db, request, reply, at: now() },
      (pen) => postFees(pen, { toOn: today, onDate: today, words: (fee) => wordsOf(request, fee) }),
      () => '/money',
    )
  })

  app.get<WithFee>('/fixed-fees/:personId/:on/:kind', { preHandler: may('charges.post') }, async (request, reply) => {
    const { personId, on, kind } = request.params
    const due = await dueFees(db, { toOn: request.visit.today })
    const fee = found(
      due.find(({ payer, line }) => payer.personId === personId && line.on === on && line.kind === kind),
    )
    return workingPage({ request, reply }, await feeWorking(db, request, { ...fee, personId }, '/money/fixed-fees/new'))
  })

  app.get('/payer-classes/new', { preHandler: may('tariff.set') }, async (request, reply) =>
    showClass(request, reply, emptyForm({ fromOn: request.visit.today })),
  )

  app.post('/payer-classes', { preHandler: may('tariff.set') }, async (request, reply) => {
    const form = readForm(PayerClassForm, request.body)
    if (!form.ok) return showClass(request, reply, form)
    const { personId, payerClass, fromOn } = form.data
    if (!(await listPayers(db)).has(personId)) {
      return showClass(request, reply, withError(form, 'personId', 'error.choose'))
    }
    const charged = await lastChargedDay(db)
    if (charged !== null && fromOn <= charged) {
      const date = request.visit.format.date(charged)
      return showClass(request, reply, withError(form, 'fromOn', 'fees.tariff.already-charged', { date }))
    }
    const known = PAYER_CLASSES.find((name) => name === payerClass) ?? null
    return write(
      { db, request, reply, at: now() },
      (pen) => setPayerClass(pen, { personId, payerClass: known, fromOn }),
      () => '/money/tariffs',
    )
  })

  async function showDue(request: FastifyRequest, reply: FastifyReply, changed = false) {
    const { money } = moneyWords(request.visit)
    const due = await dueFees(db, { toOn: request.visit.today })
    return page({ request, reply }, 'fees/fixed-fees', {
      title: 'money.fixed.title',
      changed,
      rows: due.map((fee) => ({
        number: fee.payer.number,
        name: fee.payer.name,
        what: wordsOf(request, fee),
        href: `/money/fixed-fees/${fee.payer.personId}/${fee.line.on}/${fee.line.kind}`,
        amount: money(fee.line.amountMinor),
      })),
      total: money(sum(due, ({ line }) => line.amountMinor)),
      seen: markOf(due),
    })
  }

  async function showClass(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    return formPage(
      { request, reply },
      {
        title: 'money.payer-class.title',
        form: PayerClassForm,
        filled,
        options: {
          personId: payers.map(({ personId, number, name }) => ({ value: personId, label: `${number} ${name}` })),
        },
        action: '/money/payer-classes',
        intro: ['money.payer-class.intro'],
        back: '/money/tariffs',
      },
    )
  }
}

function wordsOf(request: FastifyRequest, { line, every }: DueFee): string {
  const { locale, format } = request.visit
  return locale.t(`money.fixed.${every}`, { what: lineWords(request, line), date: format.date(line.on) })
}

/** What was shown, so that nothing else is posted. */
function markOf(due: readonly DueFee[]): string {
  return `${due.length}/${sum(due, ({ line }) => line.amountMinor)}`
}
