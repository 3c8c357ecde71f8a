import { write } from '../../book/pen.ts'
import { text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { clockMinute, localClock } from '../clock.ts'
import { publicationsOf } from '../published/store.ts'
import { isSheetOpened, isWrittenAbout, takeBackWeek, takenBackOf } from '../published/taken-back-store.ts'
import { bookedTurns } from '../published/turn-store.ts'

const TakingBackForm = defineForm('rotation.taking-back', { reason: text({ max: 160 }) })

/** A published week that nobody has acted on yet can be taken back; then it is a draft again. */
export function addTakingBackPages({ get, post }: Pages): void {
  get('/turns/weeks/:start/change?as=off', 'week.publish', newTakingBack)
  post('/turns/weeks/:start/change?as=off', 'week.publish', writeTakingBack)
}

async function newTakingBack(desk: Desk<'start'>) {
  await mustBeFree(desk)
  return showForm(desk, emptyForm())
}

async function writeTakingBack(desk: Desk<'start'>) {
  const weekStartOn = desk.params.start
  await mustBeFree(desk)
  const { published } = found(await bookedTurns(desk.db, weekStartOn))
  const form = readForm(TakingBackForm, desk.body)
  if (!form.ok) return showForm(desk, form)
  return write(
    desk,
    (pen) => takeBackWeek(pen, published.id, form.data.reason),
    () => `/turns/weeks/${weekStartOn}`,
  )
}

function showForm(desk: Desk<'start'>, filled: Filled) {
  const weekStartOn = desk.params.start
  return formPage(desk, {
    title: 'rotation.taking-back.title',
    titleValues: { on: desk.format.date(weekStartOn) },
    form: TakingBackForm,
    filled,
    submit: 'rotation.taking-back.submit',
    intro: ['rotation.taking-back.intro'],
    action: `/turns/weeks/${weekStartOn}/change?as=off`,
    back: `/turns/weeks/${weekStartOn}`,
  })
}

async function mustBeFree(desk: Desk<'start'>): Promise<void> {
  const why = await whyItStays(desk, desk.params.start)
  if (why) throw new PageError(409, `rotation.stays-${why}`)
}

type WhyItStays = 'not-published' | 'twice' | 'begun' | 'sheet-opened' | 'written-about'

/** Why a week cannot be taken back; null where it can. */
export async function whyItStays(
  { db, at, today, group }: Pick<Desk, 'db' | 'at' | 'today' | 'group'>,
  weekStartOn: string,
): Promise<WhyItStays | null> {
  const week = await bookedTurns(db, weekStartOn)
  if (!week) return 'not-published'
  const publications = await publicationsOf(db, weekStartOn)
  if (publications.length - (await takenBackOf(db, weekStartOn)).length > 1) return 'twice'
  const minute = clockMinute(localClock(at, group.timeZone))
  if (week.turns.some((turn) => turn.on < today || (turn.on === today && turn.startMinute <= minute))) return 'begun'
  if (await isSheetOpened(db, week.published.id)) return 'sheet-opened'
  const turnIds = week.turns.map(({ bookId }) => bookId)
  return (await isWrittenAbout(db, { weekStartOn, turnIds })) ? 'written-about' : null
}
