import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listWeirs, type Weir } from '../weir/store.ts'
import { CoverTermForm } from './forms.ts'
import { type CoverState, coverStates } from './state.ts'
import { coverTermsOn, setCoverTerm } from './store.ts'
import { coverLines, coverSentence, stopSentence } from './words.ts'

type WithId = { Params: { id: string } }

/** How long the water of a weir lasts, and what the group settles on for looking ahead. */
export function addCoverRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<WithId>('/weirs/:id/cover', { preHandler: may('water.see') }, async (request, reply) => {
    const states = await coverStates(db, { on: request.visit.today })
    const one = found(states.find(({ state }) => state.weir.id === request.params.id))
    const { weir } = one.state
    return page({ request, reply }, 'water/cover/page', {
      title: 'outlook.cover.title',
      titleValues: { number: weir.number, name: weir.name },
      one,
      sentence: coverSentence(one, request.visit),
      stop: stopSentence(one, request.visit),
      weeks: weeksShown(one),
      lines: coverLines(one, request.visit),
      others: states.filter(({ state }) => state.weir.id !== weir.id).map((other) => otherWeir(other, request)),
    })
  })

  app.get<WithId>('/weirs/:id/cover-terms/new', { preHandler: may('water.describe') }, async (request, reply) => {
    const weir = await weirOr404(request)
    const term = (await coverTermsOn(db, request.visit.today)).get(weir.id)
    const typed = {
      weeklyPlan: textOf(term?.weeklyPlanM3),
      leakShare: String(Math.round((term?.leakShare ?? 0) * 1000) / 10),
      rechargePerMm: textOf(term?.rechargeM3PerMm),
      words: term?.words ?? '',
      fromOn: request.visit.today,
    }
    return showTerm(request, reply, weir, emptyForm(typed))
  })

  app.post<WithId>('/weirs/:id/cover-terms', { preHandler: may('water.describe') }, async (request, reply) => {
    const weir = await weirOr404(request)
    const form = readForm(CoverTermForm, request.body)
    if (!form.ok) return showTerm(request, reply, weir, form)
    const { weeklyPlan, leakShare, rechargePerMm, words, fromOn } = form.data
    const term = { weeklyPlanM3: weeklyPlan, leakShare: leakShare / 100, rechargeM3PerMm: rechargePerMm, words, fromOn }
    return write(
      { db, request, reply, at: now() },
      (pen) => setCoverTerm(pen, { weirId: weir.id, ...term }),
      () => `/water/weirs/${weir.id}/cover`,
    )
  })

  async function weirOr404(request: FastifyRequest): Promise<Weir> {
    const { id } = request.params as { id: string }
    return found((await listWeirs(db)).find((weir) => weir.id === id))
  }
}

/** One line for each weir on the water page. */
export async function coverSentences(db: Database, request: FastifyRequest) {
  const states = await coverStates(db, { on: request.visit.today })
  return new Map(states.map((one) => [one.state.weir.id, coverSentence(one, request.visit)]))
}

function otherWeir(other: CoverState, request: FastifyRequest) {
  return { weir: other.state.weir, sentence: coverSentence(other, request.visit) }
}

/** From today to the week in which the hopeful case is empty or the late date of rain is past, whichever comes first. */
function weeksShown({ cover, state }: CoverState) {
  if (!cover) return []
  const last = [cover.hopeful.emptyOn, state.lateRainOn].flatMap((on) => on ?? []).sort()[0]
  return cover.middle.weeks.flatMap((middle, at) => {
    if (last !== undefined && middle.fromOn > last) return []
    return [{ middle, cautious: cover.cautious.weeks[at]!, hopeful: cover.hopeful.weeks[at]! }]
  })
}

function textOf(value: number | null | undefined): string {
  return value == null ? '' : String(value)
}

function showTerm(request: FastifyRequest, reply: FastifyReply, weir: Weir, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'outlook.term.title',
      titleValues: { number: weir.number },
      form: CoverTermForm,
      filled,
      action: `/water/weirs/${weir.id}/cover-terms`,
      intro: ['outlook.term.intro'],
      back: `/water/weirs/${weir.id}/cover`,
    },
  )
}
