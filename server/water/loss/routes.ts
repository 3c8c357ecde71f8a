import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import { write } from '../../book/pen.ts'
import { dayDemand } from '../../crops/weather/day-demand.ts'
import { weatherDays } from '../../crops/weather/store.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { date, number, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { sandBook } from '../sand/book.ts'
import { bodyOf } from '../sand/description.ts'
import { waterStates } from '../weir/state.ts'
import type { Weir } from '../weir/store.ts'
import { type BookRest, lossFound, OPEN_WATER_OVER_REFERENCE, restsOf } from './pages.ts'
import { setSandLoss } from './store.ts'

type WithId = { Params: { id: string } }

export const LossForm = defineForm('sand.lossForm', {
  lossCmPerDay: number({ min: -5, max: 20 }),
  fromOn: date(),
  words: text({ max: 300 }),
})

/** What the sand loses by itself on rest days, and what the group settles on. */
export function addLossRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<WithId>('/weirs/:id/loss', { preHandler: may('water.see') }, async (request, reply) => {
    const { weir, survey, book, rests, loss } = await reckoned(request)
    return page({ request, reply }, 'water/loss', {
      title: 'sand.loss.title',
      titleValues: { number: weir.number },
      weir,
      survey,
      book,
      rests,
      loss,
      openWaterFactor: OPEN_WATER_OVER_REFERENCE,
    })
  })

  app.get<WithId>('/weirs/:id/losses/new', { preHandler: may('water.describe') }, async (request, reply) => {
    const { weir, loss } = await reckoned(request)
    const typed = {
      fromOn: request.visit.today,
      lossCmPerDay: loss ? String(Number(loss.fall.fallCmPerDay.toFixed(2))) : '',
    }
    return showLoss(request, reply, weir, emptyForm(typed))
  })

  app.post<WithId>('/weirs/:id/losses', { preHandler: may('water.describe') }, async (request, reply) => {
    const { weir, survey } = await described(request)
    const form = readForm(LossForm, request.body)
    if (!form.ok) return showLoss(request, reply, weir, form)
    const { fromOn, lossCmPerDay, words } = form.data
    if (fromOn > request.visit.today)
      return showLoss(request, reply, weir, withError(form, 'fromOn', 'water.weir.future'))
    if (fromOn < survey.surveyedOn) {
      const values = { date: request.visit.format.date(survey.surveyedOn) }
      return showLoss(request, reply, weir, withError(form, 'fromOn', 'sand.error.loss-before-survey', values))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setSandLoss(pen, { weirId: weir.id, fromOn, lossCmPerDay, words }),
      () => `/water/weirs/${weir.id}`,
    )
  })

  async function described(request: FastifyRequest) {
    const { id } = request.params as { id: string }
    const state = found((await waterStates(db, { on: request.visit.today })).find((one) => one.weir.id === id))
    return { weir: state.weir, survey: found(state.survey ?? undefined) }
  }

  async function reckoned(request: FastifyRequest) {
    const { weir, survey } = await described(request)
    const on = request.visit.today
    const group = found(await currentGroup(db))
    const book = await sandBook(db, { group, survey, on, fourWeeksAgo: addDays(on, -28) })
    const body = bodyOf(survey)
    const rests = restsOf(book.stretches, body)
    return { weir, survey, book, rests, loss: lossFound(rests, { body, referenceMm: await referenceMm(group, rests) }) }
  }

  /** Mean reference evapotranspiration of the days of rest whose weather is written; null with none. */
  async function referenceMm(group: Group, rests: readonly BookRest[]): Promise<number | null> {
    const days = await Promise.all(
      rests.map(({ fromOn, toOn }) => weatherDays(db, { fromOn, toOn: addDays(toOn, -1) })),
    )
    const known = days.flat().flatMap((day) => dayDemand(group, day)?.etoMm ?? [])
    return known.length === 0 ? null : sum(known) / known.length
  }
}

function showLoss(request: FastifyRequest, reply: FastifyReply, weir: Weir, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'sand.lossForm.title',
      titleValues: { number: weir.number },
      form: LossForm,
      filled,
      action: `/water/weirs/${weir.id}/losses`,
      intro: ['sand.lossForm.intro'],
      back: `/water/weirs/${weir.id}/loss`,
    },
  )
}
