import { rollups } from 'd3-array'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { sum } from '../../../domain/sum.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { closedDayError } from '../closing/closed-day.ts'
import { seesAllMoney } from '../privacy.ts'
import { floatForm, moveForm } from './forms.ts'
import { voucherShown } from './pages.ts'
import { heldIn } from './reserve-store.ts'
import { floatLimitOn, listVouchers, moveMoney, setFloatLimit } from './store.ts'

/** The costs in one list, the reserve for the pump, the most cash kept in the box, and money moved between the columns. */
export function addCostRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/vouchers', { preHandler: may('voucher.see') }, async (request, reply) => {
    const { money } = moneyWords(request.visit)
    const vouchers = await listVouchers(db)
    const paid = vouchers.filter(({ payout }) => payout)
    const sums = rollups(
      paid,
      (own) => sum(own, (one) => one.amountMinor),
      ({ category }) => category,
    )
    const [limit, cash] = [await floatLimitOn(db, request.visit.today), await heldIn(db, 'cash')]
    return page({ request, reply }, 'fees/voucher/list', {
      title: 'money.vouchers-title',
      vouchers: vouchers.toReversed().map((voucher) => voucherShown(request, voucher)),
      sums: sums.map(([category, sum]) => ({
        label: request.visit.locale.t(`money.voucher.category.${category}`),
        amount: money(sum),
      })),
      total: money(sum(paid, (one) => one.amountMinor)),
      reserve: money(await heldIn(db, 'reserve')),
      limit: limit === null ? null : money(limit),
      above: limit !== null && cash > limit && seesAllMoney(request) ? money(cash - limit) : null,
    })
  })

  app.get('/float-limit/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showFloat(request, reply, emptyForm({ fromOn: request.visit.today })),
  )

  app.post('/float-limit', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(floatForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showFloat(request, reply, form)
    const { fromOn, limit } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => setFloatLimit(pen, { fromOn, limitMinor: limit }),
      () => '/money/vouchers',
    )
  })

  app.get('/moves/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showMove(request, reply, emptyForm({ from: 'cash', onDate: request.visit.today })),
  )

  app.post('/moves', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(moveForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showMove(request, reply, form)
    const { from, to, amount, onDate, words } = form.data
    if (from === to) return showMove(request, reply, withError(form, 'to', 'money.move.same'))
    const day = await closedDayError(db, request, onDate)
    if (day) return showMove(request, reply, withError(form, 'onDate', day.key, day.values))
    if ((await heldIn(db, from)) < amount)
      return showMove(request, reply, withError(form, 'amount', 'money.move.not-enough'))
    return write(
      { db, request, reply, at: now() },
      (pen) => moveMoney(pen, { from, to, amountMinor: amount, onDate, words }),
      () => '/money/vouchers',
    )
  })

  function showFloat(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: 'money.float.title',
        form: floatForm(moneyWords(request.visit).currency),
        filled,
        action: '/money/float-limit',
        intro: ['money.float.intro'],
        back: '/money/vouchers',
      },
    )
  }

  function showMove(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: 'money.move.title',
        form: moveForm(moneyWords(request.visit).currency),
        filled,
        action: '/money/moves',
        intro: ['money.move.intro'],
        back: '/money/vouchers',
      },
    )
  }
}
