import type { Weekday } from '../../../domain/calendar.ts'
import { YEARLY_FLOW_HELD } from '../../../domain/water/data/stream-share.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions } from '../../people/decision/state.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { listWeirs } from '../weir/store.ts'
import { ShareForm, ShutForm } from './forms.ts'
import { addRestPages } from './rest-routes.ts'
import { restsShown } from './rest-state.ts'
import { streamState } from './state.ts'
import { NO_SHARE, setShutMark, setStreamShare, streamShareOn, waitingShares } from './store.ts'

/** What is left to the stream: rest days, marks below which weirs stay shut, and the permit. */
export function addStreamPages(pages: Pages): void {
  const { get, post } = pages
  get('/water/stream', 'water.see', showStream)
  get('/water/stream/share', 'rule.set', newShare)
  post('/water/stream/share', 'rule.set', writeShare)
  get('/water/settle/shut', 'rule.set', newShutMark)
  post('/water/settle/shut', 'rule.set', writeShutMark)
  addRestPages(pages)
}

async function showStream(desk: Desk) {
  const waiting = []
  for (const one of await waitingShares(desk.db)) waiting.push({ ...one, names: await namesShown(desk, one.id) })
  return page(desk, 'water/stream/page', {
    title: 'stream.stream.title',
    ...(await streamState(desk.db, desk.today)),
    rests: await restsShown(desk),
    held: YEARLY_FLOW_HELD,
    waiting,
  })
}

async function newShare(desk: Desk) {
  const share = (await streamShareOn(desk.db, desk.today)) ?? NO_SHARE
  const typed = {
    restDays: share.restDays.map(String),
    restWeirs: share.restWeirIds,
    permit: share.permitM3 === null ? '' : String(share.permitM3),
    permitYearStart: share.permitYearStart ?? '',
    warnPart: String(Math.round(share.warnPart * 1000) / 10),
    words: share.words ?? '',
    fromOn: desk.today,
  }
  return showShare(desk, emptyForm(typed))
}

async function writeShare(desk: Desk) {
  const form = readForm(ShareForm, desk.body)
  if (!form.ok) return showShare(desk, form)
  const { restDays, restWeirs, permit, permitYearStart, warnPart, words, fromOn } = form.data
  if (permit !== null && permitYearStart === null)
    return showShare(desk, withError(form, 'permitYearStart', 'stream.share.year-missing'))
  const weirs = await listWeirs(desk.db)
  if (restWeirs.some((id) => !weirs.some((weir) => weir.id === id))) {
    return showShare(desk, withError(form, 'restWeirs', 'error.choose'))
  }
  const share = {
    fromOn,
    restDays: restDays.map((day) => Number(day) as Weekday),
    restWeirIds: restWeirs,
    permitM3: permit,
    permitYearStart: permit === null ? null : permitYearStart,
    warnPart: warnPart / 100,
    words,
  }
  return write(
    desk,
    (pen) => setStreamShare(pen, share, form.data.minute),
    () => '/water/stream',
  )
}

async function newShutMark(desk: Desk) {
  const typed = { weirId: desk.query.weirId ?? '', fromOn: desk.today }
  return showShut(desk, emptyForm(typed))
}

async function writeShutMark(desk: Desk) {
  const form = readForm(ShutForm, desk.body)
  if (!form.ok) return showShut(desk, form)
  const { weirId, shutBelowLevel, words, fromOn } = form.data
  if (!(await listWeirs(desk.db)).some((weir) => weir.id === weirId))
    return showShut(desk, withError(form, 'weirId', 'error.choose'))
  const mark = { weirId, fromOn, shutBelowLevelM: shutBelowLevel, words }
  return write(
    desk,
    (pen) => setShutMark(pen, mark, form.data.minute),
    () => '/water/stream',
  )
}

async function showShut(desk: Desk, filled: Filled) {
  const { t } = desk
  const weirId = (await listWeirs(desk.db)).map((weir) => ({
    value: weir.id,
    label: t('water.weir.heading', { ...weir }),
  }))
  return formPage(desk, {
    title: 'stream.shut.title',
    form: ShutForm,
    filled,
    options: { weirId, minute: await minuteOptions(desk) },
    action: '/water/settle/shut',
    intro: ['stream.shut.intro'],
    back: '/water/stream',
  })
}

async function showShare(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'stream.share.title',
    form: ShareForm,
    filled,
    options: { restWeirs: (await listWeirs(desk.db)).map(numberedOption), minute: await minuteOptions(desk) },
    action: '/water/stream/share',
    intro: ['stream.share.intro', 'stream.share.law'],
    back: '/water/stream',
  })
}
