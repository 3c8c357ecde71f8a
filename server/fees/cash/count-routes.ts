import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { approve } from '../../book/approvals.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPersons } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { closedUntil } from '../closing/dates.ts'
import { countForm, WordsForm } from '../treasury-forms.ts'
import { type CashCount, explainCount, listCounts, recordCount } from './count-store.ts'

type WithId = { Params: { id: string } }

/** The cash box, counted by two people: short or over is named and stays open until an entry with words explains it. */
export function addCountRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/cash-counts', { preHandler: may('money.see-all') }, async (request, reply) => {
    const counts = (await listCounts(db)).map((count) => countShown(request, count)).toReversed()
    return page({ request, reply }, 'fees/cash/counts', { title: 'money.counts-title', counts })
  })

  app.get('/cash-counts/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showCountForm(request, reply, emptyForm({ column: 'cash', countedOn: request.visit.today })),
  )

  app.post('/cash-counts', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(countForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showCountForm(request, reply, form)
    const { column, countedOn, counted, secondId } = form.data
    const others = (await listPersons(db)).filter((person) => person.id !== request.person!.id)
    if (!others.some((person) => person.id === secondId)) {
      return showCountForm(request, reply, withError(form, 'secondId', 'money.count.second-other'))
    }
    if (countedOn > request.visit.today) {
      return showCountForm(request, reply, withError(form, 'countedOn', 'money.day-to-come'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => recordCount(pen, { column, countedOn, countedMinor: counted, secondId }),
      (id) => `/money/cash-counts/${id}`,
    )
  })

  app.get<WithId>('/cash-counts/:id', { preHandler: may('money.see-all') }, async (request, reply) => {
    const count = await countOf(request)
    return showCount(request, reply, count, emptyForm())
  })

  app.post<WithId>('/cash-counts/:id/explanation', { preHandler: may('payment.record') }, async (request, reply) => {
    const count = await countOf(request)
    if (count.differenceMinor === 0) throw new PageError(409, 'money.count.nothing-open')
    const form = readForm(WordsForm, request.body)
    if (!form.ok) return showCount(request, reply, count, form)
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        const fresh = found((await listCounts(pen.trx)).find((one) => one.id === count.id))
        if (fresh.differenceMinor === 0) throw new PageError(409, 'money.count.nothing-open')
        // In the open period: on the day of the count while that is open, else today.
        const closed = await closedUntil(pen.trx)
        const onDate = closed !== null && fresh.countedOn <= closed ? request.visit.today : fresh.countedOn
        await explainCount(pen, { count: fresh, words: form.data.words, onDate })
      },
      () => `/money/cash-counts/${count.id}`,
    )
  })

  app.post<WithId>('/cash-counts/:id/approval', { preHandler: may('turns.see') }, async (request, reply) => {
    const count = await countOf(request)
    if (count.secondId !== request.person!.id) throw new PageError(403, 'money.count.not-you')
    if (count.approval) throw new PageError(409, 'error.page-409')
    return write(
      { db, request, reply, at: now() },
      (pen) => approve(pen, count.id),
      () => '/money',
    )
  })

  async function countOf(request: FastifyRequest): Promise<CashCount> {
    const { id } = request.params as { id: string }
    return found((await listCounts(db)).find((count) => count.id === id))
  }

  async function showCountForm(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const others = (await listPersons(db)).filter((person) => person.id !== request.person!.id)
    return formPage(
      { request, reply },
      {
        title: 'money.count.title',
        form: countForm(moneyWords(request.visit).currency),
        filled,
        options: { secondId: others.map(({ id, number, name }) => ({ value: id, label: `${number} ${name}` })) },
        action: '/money/cash-counts',
        intro: ['money.count.intro'],
        back: '/money/cash-counts',
      },
    )
  }

  async function showCount(request: FastifyRequest, reply: FastifyReply, count: CashCount, filled: Filled) {
    if (Object.keys(filled.errors).length > 0) reply.code(422)
    return page({ request, reply }, 'fees/cash/count', {
      title: `money.count.heading-${count.column}`,
      titleValues: { date: request.visit.format.date(count.countedOn) },
      count: countShown(request, count),
      form: WordsForm,
      filled,
      action: `/money/cash-counts/${count.id}/explanation`,
      submit: 'money.count.explain-submit',
    })
  }
}

export function countShown(request: FastifyRequest, count: CashCount) {
  const { format, locale } = request.visit
  const { money } = moneyWords(request.visit)
  const { id, differenceMinor, explained, approval } = count
  return {
    id,
    what: locale.t(`money.count.column.${count.column}`),
    date: format.date(count.countedOn),
    counted: money(count.countedMinor),
    book: money(count.bookMinor),
    result: countWords(request, differenceMinor),
    open: differenceMinor !== 0,
    explained: explained && {
      words: explained.words ?? '',
      amount: money(explained.amountMinor),
      by: explained.writerName,
      at: format.instant(explained.writtenAt),
    },
    people: locale.t('money.count.people', { first: count.writerName, second: count.secondName }),
    confirmed:
      approval && locale.t('money.signed', { name: approval.approverName, when: format.instant(approval.approvedAt) }),
    writtenAt: format.instant(count.writtenAt),
  }
}

/** “XOF 180 short”, “XOF 20 over”, or that the coins and the book agree. */
export function countWords(request: FastifyRequest, differenceMinor: number): string {
  const { t } = request.visit.locale
  if (differenceMinor === 0) return t('money.count.agrees')
  const amount = moneyWords(request.visit).money(Math.abs(differenceMinor))
  return t(differenceMinor < 0 ? 'money.count.short' : 'money.count.over', { amount })
}
