import { wholeWeekDays } from '../../../domain/weeks.ts'
import { write } from '../../book/pen.ts'
import { date, number, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { doubtedDays, unsettledDays } from '../calibration/book.ts'
import { listReadings } from '../level/store.ts'
import { setSandLoss } from '../sand/loss-store.ts'
import { stateOr404 } from '../storage/found.ts'
import { OPEN_WATER_OVER_REFERENCE } from '../storage/open-water-store.ts'
import type { Weir } from '../weir/store.ts'
import { lossFound, lossOfPath } from './pages.ts'

const LossForm = defineForm('storage.lossForm', {
  lossCmPerDay: number({ min: -5, max: 20 }, 'loss of the sand, cm a day'),
  fromOn: date(),
  words: text({ max: 300 }),
})

/** What the sand loses by itself on rest days, and what the group settles on. */
export function addLossPages({ get, post }: Pages): void {
  get('/water/working/loss/:id', 'water.see', showLoss)
  get('/water/settle/loss/:id', 'water.describe', newLoss)
  post('/water/settle/loss/:id', 'water.describe', writeLoss)
}

async function showLoss(desk: Desk<'id'>) {
  const { state, weir, survey, loss } = await reckoned(desk)
  const readings = await listReadings(desk.db, { weirId: weir.id, fromOn: survey.surveyedOn, toOn: desk.today })
  return page(desk, 'water/loss/page', {
    title: 'storage.loss.title',
    titleValues: { number: weir.number },
    weir,
    survey,
    unsettledOn: unsettledDays(readings),
    doubtedOn: doubtedDays(state.doubts, survey.surveyedOn),
    rests: state.rests,
    restDue: state.restDue,
    loss,
    fitted: lossOfPath(state),
    daysInWeek: wholeWeekDays(desk.today, desk.group),
    openWaterFactor: OPEN_WATER_OVER_REFERENCE,
  })
}

async function newLoss(desk: Desk<'id'>) {
  const { weir, loss } = await reckoned(desk)
  const typed = {
    fromOn: desk.today,
    lossCmPerDay: loss ? String(Number(loss.fall.fallCmPerDay.toFixed(2))) : '',
  }
  return showLossForm(desk, weir, emptyForm(typed))
}

async function writeLoss(desk: Desk<'id'>) {
  const { weir, survey } = await described(desk)
  const form = readForm(LossForm, desk.body)
  if (!form.ok) return showLossForm(desk, weir, form)
  const { fromOn, lossCmPerDay, words } = form.data
  if (fromOn > desk.today) return showLossForm(desk, weir, withError(form, 'fromOn', 'water.weir.future'))
  if (fromOn < survey.surveyedOn) {
    const values = { date: desk.format.date(survey.surveyedOn) }
    return showLossForm(desk, weir, withError(form, 'fromOn', 'storage.error.loss-before-survey', values))
  }
  return write(
    desk,
    (pen) => setSandLoss(pen, { weirId: weir.id, fromOn, lossCmPerDay, words }),
    () => `/water/weirs/${weir.id}`,
  )
}

async function described(desk: Desk<'id'>) {
  const state = await stateOr404(desk)
  return { state, weir: state.weir, survey: found(state.survey ?? undefined) }
}

async function reckoned(desk: Desk<'id'>) {
  const { state, weir, survey } = await described(desk)
  const { rests, openWaterMm } = state
  return { state, weir, survey, loss: lossFound(rests, { body: state.body!, openWaterMm }) }
}

function showLossForm(desk: Desk, weir: Weir, filled: Filled) {
  return formPage(desk, {
    title: 'storage.lossForm.title',
    titleValues: { number: weir.number },
    form: LossForm,
    filled,
    action: `/water/settle/loss/${weir.id}`,
    intro: ['storage.lossForm.intro'],
    back: `/water/working/loss/${weir.id}`,
  })
}
