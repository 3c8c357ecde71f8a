import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { select, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { sandBook } from '../sand/book.ts'
import { tableState } from '../table/pages.ts'
import { addTable, listTables } from '../table/store.ts'
import { waterStates } from '../weir/state.ts'
import { calibrationOf, coverBeside, digestOfFit, proposalShown, workingOf } from './pages.ts'

type WithId = { Params: { id: string } }

export const CalibrationForm = defineForm('sand.calibrationForm', {
  answer: select(['accept', 'decline']),
  words: text({ max: 300 }),
})

/** The table that the group's own books propose, and the committee's answer to it. */
export function addCalibrationRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<WithId>('/weirs/:id/calibration', { preHandler: may('water.see') }, async (request, reply) =>
    show(request, reply, emptyForm()),
  )

  app.post<WithId>('/weirs/:id/calibration', { preHandler: may('water.describe') }, async (request, reply) => {
    const { state, survey, book, fit } = await reckoned(request)
    if (fit.refused) throw new PageError(409, 'sand.calibration.no-proposal')
    const form = readForm(CalibrationForm, request.body)
    if (!form.ok) return show(request, reply, form)
    if ((request.body as Record<string, unknown>).digest !== digestOfFit(fit))
      return show(request, reply, withError(form, '', 'sand.calibration.book-changed'))
    const { answer, words } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) =>
        addTable(pen, {
          weirId: state.weir.id,
          fromOn: request.visit.today,
          surveyId: survey.surveyId,
          answer,
          grade: 'calibrated',
          lossCmPerDay: fit.loss.fallCmPerDay,
          words,
          working: workingOf(fit, book),
          rows: fit.rows,
        }),
      (id) => `/water/weirs/${state.weir.id}/tables/${id}`,
    )
  })

  async function reckoned(request: FastifyRequest) {
    const { id } = request.params as { id: string }
    const on = request.visit.today
    const state = found((await waterStates(db, { on })).find((one) => one.weir.id === id))
    const survey = found(state.survey ?? undefined)
    const group = found(await currentGroup(db))
    const book = await sandBook(db, { group, survey, on, fourWeeksAgo: addDays(on, -28) })
    return { state, survey, book, fit: calibrationOf(book, survey) }
  }

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { state, survey, book, fit } = await reckoned(request)
    const waiting = (await listTables(db, state.weir.id)).filter((table) =>
      ['waits', 'decline-waits'].includes(tableState(table, survey)),
    )
    if (Object.keys(filled.errors).length > 0) reply.code(422)
    return page({ request, reply }, 'water/calibration/page', {
      title: 'sand.calibration.title',
      titleValues: { number: state.weir.number },
      weir: state.weir,
      survey,
      book,
      refused: fit.refused,
      readings: fit.readings,
      fallCm: fit.fallCm,
      ...(fit.refused ? {} : proposalShown(fit, survey)),
      cover: fit.refused ? null : coverBeside(state, fit, book),
      waiting,
      form: CalibrationForm,
      filled,
    })
  }
}
