import { InputError } from '../../../domain/input-error.ts'
import { sum } from '../../../domain/sum.ts'
import { mustStand } from '../../book/correction-store.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { OutlookSettingForm, RainRecordForm, StrikeForm } from './forms.ts'
import { fewPictures, outlookLines, weirPages } from './pages.ts'
import { rainRecordYears } from './rain.ts'
import { outlookState, TRACES } from './state.ts'
import {
  addRainRecord,
  listRainRecords,
  outlookSettingOn,
  setOutlook,
  strikeRainRecord,
  USUAL_OUTLOOK,
} from './store.ts'

/** The water of the season ahead over the group's own rain years. */
export function addOutlookPages({ get, post }: Pages): void {
  get('/water/lasts', 'water.see', showOutlook)
  get('/water/settle/how-sure', 'water.describe', newSetting)
  post('/water/settle/how-sure', 'water.describe', writeSetting)
  get('/crops/weather/list?as=old-rain', 'water.describe', newRainRecord)
  post('/crops/weather/list?as=old-rain', 'water.describe', writeRainRecord)
  get('/water/lines/rain-record/:id', 'water.see', showRainRecord)
  post('/water/lines/rain-record/:id/correct', 'water.describe', writeStrike)
}

async function showOutlook(desk: Desk) {
  const { group } = desk
  const state = await outlookState(desk.db, desk.parts.water, { group, on: desk.today })
  return page(desk, 'water/outlook/page', {
    title: 'outlook.title',
    state,
    seasonEndOn: group.seasonEndOn,
    traces: TRACES,
    pages: fewPictures(desk, weirPages(state, desk)),
    lines: outlookLines(state, desk, group.seasonEndOn),
  })
}

async function newSetting(desk: Desk) {
  const { holdsIn, seed } = (await outlookSettingOn(desk.db, desk.today)) ?? USUAL_OUTLOOK
  const typed = { seasonsOfTen: String(Math.round(holdsIn * 100) / 10), seed: String(seed) }
  return showSetting(desk, emptyForm({ ...typed, fromOn: desk.today }))
}

async function writeSetting(desk: Desk) {
  const form = readForm(OutlookSettingForm, desk.body)
  if (!form.ok) return showSetting(desk, form)
  const { seasonsOfTen, seed, fromOn } = form.data
  return write(
    desk,
    (pen) => setOutlook(pen, { fromOn, holdsIn: seasonsOfTen / 10, seed }),
    () => '/water/lasts',
  )
}

async function newRainRecord(desk: Desk) {
  return showRecord(desk, emptyForm({ order: 'year-first' }))
}

async function writeRainRecord(desk: Desk) {
  const form = readForm(RainRecordForm, desk.body)
  if (!form.ok) return showRecord(desk, form)
  const { source, order, rain } = form.data
  const years = readYears(() => rainRecordYears(rain, order, desk.today))
  if (years instanceof InputError) {
    const words = years.code.startsWith('rain-') ? 'outlook.record' : 'crops.wrong'
    const shown = withError(form, 'rain', `${words}.${years.code}`, years.values)
    return showRecord(desk, shown)
  }
  return write(
    desk,
    (pen) => addRainRecord(pen, { source, years }),
    (id) => `/water/lines/rain-record/${id}`,
  )
}

async function writeStrike(desk: Desk<'id'>) {
  await mustStand(desk.db, desk.params.id)
  const form = readForm(StrikeForm, desk.body)
  if (!form.ok) return showRainRecord(desk, form)
  const { id } = await recordOr404(desk)
  return write(
    desk,
    (pen) => strikeRainRecord(pen, { id, reason: form.data.reason }),
    () => '/water/lasts',
  )
}

async function recordOr404(desk: Desk<'id'>) {
  const { id } = desk.params
  return found((await listRainRecords(desk.db)).find((record) => record.id === id))
}

async function showRainRecord(desk: Desk<'id'>, filled: Filled = emptyForm()) {
  const record = await recordOr404(desk)
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'water/outlook/record', {
    title: 'outlook.record.one',
    record,
    years: record.years.map(({ year, rainMm }) => ({
      year,
      totalMm: sum(rainMm, (mm) => mm ?? 0),
      unreadDays: rainMm.filter((mm) => mm === null).length,
    })),
    form: StrikeForm,
    filled,
  })
}

function readYears<T>(read: () => T): T | InputError {
  try {
    return read()
  } catch (error) {
    if (error instanceof InputError) return error
    throw error
  }
}

function showSetting(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'outlook.setting.title',
    form: OutlookSettingForm,
    filled,
    action: '/water/settle/how-sure',
    intro: ['outlook.setting.intro'],
    back: '/water/lasts',
  })
}

function showRecord(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'outlook.record.title',
    form: RainRecordForm,
    filled,
    action: '/crops/weather/list?as=old-rain',
    intro: ['outlook.record.intro'],
    back: '/water/lasts',
  })
}
