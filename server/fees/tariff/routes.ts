import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { tariffOn } from '../../../domain/fees/index.ts'
import { approve } from '../../book/approvals.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { lastChargedDay } from '../charge/store.ts'
import { tariffForm } from '../forms.ts'
import { listTariffs, setTariff, type WrittenTariff } from './store.ts'
import { tariffTyped } from './typed.ts'
import { tariffWords } from './words.ts'

type WithId = { Params: { id: string } }

/** The price of water: who set it, who put the second name under it, and from when it holds. */
export function addTariffRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/tariffs', { preHandler: may('tariff.see') }, async (request, reply) => {
    const tariffs = await listTariffs(db)
    const shown = tariffs.map((tariff) => tariffShown(request, tariff, tariffs)).toReversed()
    return page({ request, reply }, 'fees/tariff/list', {
      title: 'fees.tariffs-title',
      tariffs: shown,
      noneInForce: !shown.some((tariff) => tariff.state === 'in-force'),
    })
  })

  app.get('/tariffs/new', { preHandler: may('tariff.set') }, async (request, reply) =>
    showTariff(request, reply, emptyForm({ fromOn: request.visit.today, drinkingFree: 'yes' })),
  )

  app.post('/tariffs', { preHandler: may('tariff.set') }, async (request, reply) => {
    const form = readForm(tariffForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showTariff(request, reply, form)
    const charged = await lastChargedDay(db)
    if (charged !== null && form.data.fromOn <= charged) {
      const date = request.visit.format.date(charged)
      return showTariff(request, reply, withError(form, 'fromOn', 'fees.tariff.already-charged', { date }))
    }
    const tariff = tariffTyped(form.data)
    if ('wrong' in tariff) return showTariff(request, reply, withError(form, tariff.wrong, tariff.key))
    return write(
      { db, request, reply, at: now() },
      (pen) => setTariff(pen, tariff),
      (id) => `/money/tariffs/${id}`,
    )
  })

  app.get<WithId>('/tariffs/:id', { preHandler: may('tariff.see') }, async (request, reply) => {
    const tariffs = await listTariffs(db)
    const tariff = found(tariffs.find((one) => one.id === request.params.id))
    const shown = tariffShown(request, tariff, tariffs)
    return page({ request, reply }, 'fees/tariff/page', {
      title: 'fees.tariff.heading',
      titleValues: { date: shown.from },
      tariff: shown,
      hindrance: await hindrance(request, tariff),
    })
  })

  app.post<WithId>('/tariffs/:id/approval', { preHandler: may('tariff.approve') }, async (request, reply) => {
    const tariff = found((await listTariffs(db)).find((one) => one.id === request.params.id))
    const why = await hindrance(request, tariff)
    if (why) throw new PageError(409, why)
    return write(
      { db, request, reply, at: now() },
      (pen) => approve(pen, tariff.id),
      () => `/money/tariffs/${tariff.id}`,
    )
  })

  /** Why this visitor cannot put the second name under the tariff; null when nothing is in the way. */
  async function hindrance(request: FastifyRequest, tariff: WrittenTariff): Promise<string | null> {
    if (tariff.approval) return 'fees.tariff.already-approved'
    if (tariff.writerId === request.person?.id) return 'fees.tariff.own-name'
    const charged = await lastChargedDay(db)
    return charged !== null && tariff.fromOn <= charged ? 'fees.tariff.too-late' : null
  }
}

function tariffShown(request: FastifyRequest, tariff: WrittenTariff, all: readonly WrittenTariff[]) {
  const { format } = request.visit
  return {
    id: tariff.id,
    from: format.date(tariff.fromOn),
    price: moneyWords(request.visit).money(tariff.perM3Minor),
    drinkingFree: tariff.drinkingFree,
    parts: tariffWords(request, tariff),
    writerName: tariff.writerName,
    writtenAt: format.instant(tariff.writtenAt),
    approverName: tariff.approval?.approverName ?? null,
    approvedAt: tariff.approval ? format.instant(tariff.approval.approvedAt) : null,
    state: stateOf(tariff, all, request.visit.today),
  }
}

function stateOf(tariff: WrittenTariff, all: readonly WrittenTariff[], today: string) {
  if (!tariff.approval) return 'waits'
  if (tariff.fromOn > today) return 'to-come'
  const tariffs = all.filter((one) => one.approval).flatMap((one) => one.tariffs)
  return tariffOn({ tariffs, on: today, payerClass: null })?.id === tariff.id ? 'in-force' : 'past'
}

function showTariff(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'fees.tariff.title',
      form: tariffForm(moneyWords(request.visit).currency),
      filled,
      action: '/money/tariffs',
      intro: ['fees.tariff.intro'],
      back: '/money/tariffs',
    },
  )
}
