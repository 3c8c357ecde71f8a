import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { approve } from '../../book/approvals.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { bodyOf, type WeirSurvey } from '../sand/description.ts'
import { listSurveys, listWeirs, surveyInForce, type Weir } from '../weir/store.ts'
import { TableDeclineForm, TableForm } from './forms.ts'
import { linesOfCurve, tableOfLines } from './input.ts'
import { boardRows, comparedRows, descriptionBefore, hindrance, listedTables, tableState } from './pages.ts'
import { addTable, listTables, type WrittenTable } from './store.ts'

type WithId = { Params: { id: string } }

/** The level-volume table of a weir: for the board, for the committee's corrections, and each decision with its two names. */
export function addTableRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<WithId>('/weirs/:id/table', { preHandler: may('water.see') }, async (request, reply) => {
    const { weir, survey } = await describedWeir(request)
    const body = bodyOf(survey)
    return page({ request, reply }, 'water/table/board', {
      title: 'sand.table.heading',
      titleValues: { number: weir.number, name: weir.name },
      weir,
      survey,
      grade: body.grade,
      rows: boardRows(body, survey),
      tables: listedTables(await listTables(db, weir.id), survey),
    })
  })

  app.get<WithId>('/weirs/:id/tables/new', { preHandler: may('water.describe') }, async (request, reply) => {
    const { weir, survey } = await describedWeir(request)
    const typed = { fromOn: request.visit.today, rows: linesOfCurve(bodyOf(survey)) }
    return showTable(request, reply, weir, emptyForm(typed))
  })

  app.post<WithId>('/weirs/:id/tables', { preHandler: may('water.describe') }, async (request, reply) => {
    const { weir, survey } = await describedWeir(request)
    const form = readForm(TableForm, request.body)
    if (!form.ok) return showTable(request, reply, weir, form)
    const { fromOn, words } = form.data
    if (fromOn > request.visit.today)
      return showTable(request, reply, weir, withError(form, 'fromOn', 'water.weir.future'))
    if (fromOn < survey.surveyedOn) {
      const date = request.visit.format.date(survey.surveyedOn)
      return showTable(request, reply, weir, withError(form, 'fromOn', 'sand.error.before-survey', { date }))
    }
    const body = bodyOf(survey)
    const read = tableOfLines(form.data.rows, { body, form })
    if ('problem' in read) return showTable(request, reply, weir, read.problem)
    const { surveyId } = survey
    const told = { weirId: weir.id, fromOn, surveyId, words, grade: body.grade, rows: read.rows }
    return write(
      { db, request, reply, at: now() },
      (pen) => addTable(pen, { ...told, answer: 'accept', lossCmPerDay: null, working: null }),
      (id) => `/water/weirs/${weir.id}/tables/${id}`,
    )
  })

  app.get('/weirs/:id/tables/:tableId', { preHandler: may('water.see') }, async (request, reply) => {
    const { weir, survey, surveys, table } = await decision(request)
    const before = descriptionBefore(surveys, table) ?? survey
    return page({ request, reply }, 'water/table/decision', {
      title: 'sand.table.decision-heading',
      titleValues: { number: weir.number, date: request.visit.format.date(table.fromOn) },
      weir,
      table,
      state: tableState(table, survey),
      rows: comparedRows(table.rows, before),
      hindrance: request.person ? hindrance(table, survey, request.person.id) : null,
    })
  })

  app.post('/weirs/:id/tables/:tableId/approval', { preHandler: may('water.describe') }, async (request, reply) => {
    const { weir, survey, table } = await decision(request)
    const why = hindrance(table, survey, request.person!.id)
    if (why) throw new PageError(409, why)
    return write(
      { db, request, reply, at: now() },
      (pen) => approve(pen, table.id),
      () => `/water/weirs/${weir.id}/tables/${table.id}`,
    )
  })

  app.get('/weirs/:id/tables/:tableId/declines/new', { preHandler: may('water.describe') }, async (request, reply) =>
    showDecline(request, reply, await declinable(request), emptyForm()),
  )

  app.post('/weirs/:id/tables/:tableId/declines', { preHandler: may('water.describe') }, async (request, reply) => {
    const table = await declinable(request)
    const form = readForm(TableDeclineForm, request.body)
    if (!form.ok) return showDecline(request, reply, table, form)
    const { words } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => addTable(pen, { ...table, words, answer: 'decline', correctsId: table.id }),
      () => `/water/weirs/${table.weirId}/tables/${table.id}`,
    )
  })

  async function declinable(request: FastifyRequest): Promise<WrittenTable> {
    const { table, survey } = await decision(request)
    if (tableState(table, survey) !== 'waits') throw new PageError(409, 'sand.table.already-decided')
    return table
  }

  async function decision(request: FastifyRequest) {
    const described = await describedWeir(request)
    const { tableId } = request.params as { tableId: string }
    const table = found((await listTables(db, described.weir.id)).find((one) => one.id === tableId))
    return { ...described, table }
  }

  /** The weir with the description in force today; a weir that nobody described yet has no table. */
  async function describedWeir(
    request: FastifyRequest,
  ): Promise<{ weir: Weir; survey: WeirSurvey; surveys: WeirSurvey[] }> {
    const { id } = request.params as { id: string }
    const weir = found((await listWeirs(db)).find((one) => one.id === id))
    const surveys = await listSurveys(db, weir.id)
    const survey = found(surveyInForce(surveys, weir.id, request.visit.today) ?? undefined)
    return { weir, survey, surveys }
  }
}

function showTable(request: FastifyRequest, reply: FastifyReply, weir: Weir, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'sand.tableForm.title',
      titleValues: { number: weir.number },
      form: TableForm,
      filled,
      action: `/water/weirs/${weir.id}/tables`,
      intro: ['sand.tableForm.intro'],
      back: `/water/weirs/${weir.id}/table`,
    },
  )
}

function showDecline(request: FastifyRequest, reply: FastifyReply, table: WrittenTable, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'sand.tableDecline.title',
      form: TableDeclineForm,
      filled,
      action: `/water/weirs/${table.weirId}/tables/${table.id}/declines`,
      submit: 'sand.tableDecline.submit',
      back: `/water/weirs/${table.weirId}/tables/${table.id}`,
    },
  )
}
