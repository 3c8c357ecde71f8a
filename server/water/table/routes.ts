import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { bodyOf, type WeirSurvey } from '../sand/description.ts'
import { listSurveys, surveyInForce } from '../sand/description-store.ts'
import { addTable, listTables } from '../sand/table-store.ts'
import { waterStates } from '../storage/state.ts'
import { listWeirs, type Weir } from '../weir/store.ts'
import { TableForm } from './forms.ts'
import { linesOfCurve, tableOfLines } from './input.ts'
import {
  boardRows,
  comparedRows,
  descriptionBefore,
  drinkingRow,
  hindrance,
  listedTables,
  rowHeightMm,
  tableState,
} from './pages.ts'

/** The level-volume table of a weir: for the board, for the committee's corrections, and each decision with its two names. */
export function addTablePages({ get, post }: Pages): void {
  get('/water/weirs/:id/board', 'water.see', showBoard)
  get('/water/weirs/:id/table', 'water.describe', newTable)
  post('/water/weirs/:id/table', 'water.describe', writeTable)
  get('/water/names/table/:id/:tableId', 'water.see', showDecision)
  post('/water/names/table/:id/:tableId', 'water.describe', writeApproval)
}

async function showBoard(desk: Desk<'id'>) {
  const { weir, survey } = await describedWeir(desk)
  const body = bodyOf(survey)
  const rows = boardRows(body, survey)
  const state = (await waterStates(desk.db, { on: desk.today })).find((one) => one.weir.id === weir.id)
  const keptM3 = state?.reserve?.reserveM3 ?? 0
  return page(desk, 'water/table/board', {
    title: 'storage.table.heading',
    titleValues: { number: weir.number, name: weir.name },
    weir,
    survey,
    grade: body.grade,
    rows,
    rowMm: rowHeightMm(rows.length),
    drinking: keptM3 > 0 ? { row: drinkingRow(rows, keptM3), keptM3, on: desk.today } : null,
    tables: listedTables(await listTables(desk.db, weir.id), survey),
  })
}

async function newTable(desk: Desk<'id'>) {
  const { weir, survey } = await describedWeir(desk)
  const typed = { fromOn: desk.today, rows: linesOfCurve(bodyOf(survey)) }
  return showTable(desk, weir, emptyForm(typed))
}

async function writeTable(desk: Desk<'id'>) {
  const { weir, survey } = await describedWeir(desk)
  const form = readForm(TableForm, desk.body)
  if (!form.ok) return showTable(desk, weir, form)
  const { fromOn, words } = form.data
  if (fromOn > desk.today) return showTable(desk, weir, withError(form, 'fromOn', 'water.weir.future'))
  if (fromOn < survey.surveyedOn) {
    const date = desk.format.date(survey.surveyedOn)
    return showTable(desk, weir, withError(form, 'fromOn', 'storage.error.before-survey', { date }))
  }
  const body = bodyOf(survey)
  const read = tableOfLines(form.data.rows, { body, form })
  if ('problem' in read) return showTable(desk, weir, read.problem)
  const { surveyId } = survey
  const told = { weirId: weir.id, fromOn, surveyId, words, grade: body.grade, rows: read.rows }
  return write(
    desk,
    (pen) => addTable(pen, { ...told, answer: 'accept', lossCmPerDay: null, working: null }),
    (id) => `/water/names/table/${weir.id}/${id}`,
  )
}

async function showDecision(desk: Desk<'id' | 'tableId'>) {
  const { weir, survey, surveys, table } = await decision(desk)
  const before = descriptionBefore(surveys, table) ?? survey
  return page(desk, 'water/table/decision', {
    title: 'storage.table.decision-heading',
    titleValues: { number: weir.number, date: desk.format.date(table.fromOn) },
    weir,
    table,
    state: tableState(table, survey),
    // Whoever may only look is offered no door.
    names: desk.request.person ? await namesShown(desk, table.id) : null,
    rows: comparedRows(table.rows, before),
    hindrance: desk.request.person ? hindrance(table, survey, desk.request.person.id) : null,
  })
}

async function writeApproval(desk: Desk<'id' | 'tableId'>) {
  const { weir, survey, table } = await decision(desk)
  const why = hindrance(table, survey, desk.person.id)
  if (why) throw new PageError(409, why)
  return write(
    desk,
    (pen) => approve(pen, table.id),
    () => `/water/names/table/${weir.id}/${table.id}`,
  )
}

async function decision(desk: Desk<'tableId' | 'id'>) {
  const described = await describedWeir(desk)
  const { tableId } = desk.params
  const table = found((await listTables(desk.db, described.weir.id)).find((one) => one.id === tableId))
  return { ...described, table }
}

/** The weir with the description in force today; a weir that nobody described yet has no table. */
async function describedWeir(desk: Desk<'id'>): Promise<{ weir: Weir; survey: WeirSurvey; surveys: WeirSurvey[] }> {
  const { id } = desk.params
  const weir = found((await listWeirs(desk.db)).find((one) => one.id === id))
  const surveys = await listSurveys(desk.db, weir.id)
  const survey = found(surveyInForce(surveys, weir.id, desk.today) ?? undefined)
  return { weir, survey, surveys }
}

function showTable(desk: Desk, weir: Weir, filled: Filled) {
  return formPage(desk, {
    title: 'storage.tableForm.title',
    titleValues: { number: weir.number },
    form: TableForm,
    filled,
    action: `/water/weirs/${weir.id}/table`,
    intro: ['storage.tableForm.intro'],
    back: `/water/weirs/${weir.id}/board`,
  })
}
