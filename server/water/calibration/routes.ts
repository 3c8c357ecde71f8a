import { kept } from '../../book/kept-answers.ts'
import { write } from '../../book/pen.ts'
import { select, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { coverStates } from '../cover/state.ts'
import { addTable, listTables } from '../sand/table-store.ts'
import { type WaterState, waterStates } from '../storage/state.ts'
import { tableState } from '../table/pages.ts'
import { sandBook } from './book.ts'
import { calibrationOf, coverBeside, digestOfFit, type Fitted, proposalShown, workingOf } from './pages.ts'

const CalibrationForm = defineForm('storage.calibrationForm', {
  answer: select(['accept', 'decline']),
  words: text({ max: 300 }),
})

/** The table that the group's own books propose, and the committee's answer to it. */
export function addCalibrationPages({ get, post }: Pages): void {
  get('/water/weirs/:id/check', 'water.see', showCalibration)
  post('/water/weirs/:id/check', 'water.describe', writeAnswer)
}

async function writeAnswer(desk: Desk<'id'>) {
  const { state, survey, book, fit } = await reckoned(desk)
  if (fit.refused) throw new PageError(409, 'storage.calibration.no-proposal')
  const form = readForm(CalibrationForm, desk.body)
  if (!form.ok) return showCalibration(desk, form)
  if ((desk.body as Record<string, unknown>).digest !== digestOfFit(fit))
    return showCalibration(desk, withError(form, '', 'storage.calibration.book-changed'))
  const { answer, words } = form.data
  return write(
    desk,
    (pen) =>
      addTable(pen, {
        weirId: state.weir.id,
        fromOn: desk.today,
        surveyId: survey.surveyId,
        answer,
        grade: 'calibrated',
        lossCmPerDay: fit.loss.fallCmPerDay,
        words,
        working: workingOf(fit, book),
        rows: fit.rows,
      }),
    (id) => `/water/names/table/${state.weir.id}/${id}`,
  )
}

async function reckoned(desk: Desk<'id'>) {
  const { id } = desk.params
  const on = desk.today
  const state = found((await waterStates(desk.db, { on })).find((one) => one.weir.id === id))
  const survey = found(state.survey ?? undefined)
  const { group } = desk
  const book = await sandBook(desk.db, desk.parts.water, {
    group,
    survey,
    on,
    doubts: state.doubts,
  })
  return { state, survey, book, fit: await calibrationOf(book, survey, state.openWaterMm) }
}

/** A walk through days for two tables takes long: it is kept for the same proposal on the same day. */
function coverOf({ db, today: on }: Desk, state: WaterState, fit: Fitted) {
  const asked = { on, weirId: state.weir.id, proposal: digestOfFit(fit) }
  return kept(db, 'cover by a proposed table', asked, async () =>
    coverBeside(await coverStates(db, { on }), state, fit),
  )
}

async function showCalibration(desk: Desk<'id'>, filled: Filled = emptyForm()) {
  const { state, survey, book, fit } = await reckoned(desk)
  const waiting = (await listTables(desk.db, state.weir.id)).filter((table) =>
    ['waits', 'decline-waits'].includes(tableState(table, survey)),
  )
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'water/calibration/page', {
    title: 'storage.calibration.title',
    titleValues: { number: state.weir.number },
    weir: state.weir,
    survey,
    book,
    refused: fit.refused,
    mostPercent: fit.refused ? 100 * fit.mostHalfWidth : null,
    readings: fit.readings,
    fallCm: fit.fallCm,
    meterPercent: book.meterTimes === null ? null : 100 * (book.meterTimes - 1),
    ...(fit.refused ? {} : proposalShown(fit, survey)),
    cover: fit.refused ? null : await coverOf(desk, state, fit),
    waiting,
    form: CalibrationForm,
    filled,
  })
}
