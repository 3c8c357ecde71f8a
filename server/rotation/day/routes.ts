import { isCalendarDate } from '../../../domain/calendar.ts'
import { write } from '../../book/pen.ts'
import { weirsWithChamber } from '../../water/chamber/store.ts'
import { listWeirs, type Weir } from '../../water/weir/store.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import { emptyForm, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import type { LoggedDraw } from '../asks.ts'
import { callableFrom, clockMinute, localClock } from '../clock.ts'
import { givenSoFar } from './flow.ts'
import { DayChangeForm } from './forms.ts'
import { type ShownDay, shownDay } from './lines.ts'
import { addMoveUpPages } from './move-up-routes.ts'
import { besideDay, dayPage, foundOn, type Shown } from './pages.ts'
import { reshared } from './reshare.ts'
import { addShortDayRulePages } from './rule-routes.ts'
import { addDayChange, closeDaySheet } from './store.ts'

/** The day as it comes: what became of each turn, the rest shared anew when sun or pump fail, and the closing of the sheet. */
export function addDayPages(pages: Pages): void {
  const { get, post } = pages
  get('/log', 'turns.see', toToday)
  get('/log/days/:on', 'turns.see', showDay)
  post('/log/days/:on/less', 'abstraction.log', writeDayChange)
  post('/log/days/:on/close', 'abstraction.log', writeClosing)
  addMoveUpPages(pages)
  addShortDayRulePages(pages)
}

async function toToday({ reply, today, query }: Desk) {
  return reply.redirect(`/log/days/${today}${query.open === 'less' ? '?open=less#less' : ''}`, 303)
}

async function showDay(desk: Desk<'on'>) {
  return show(desk, await dayOr404(desk), { filled: emptyForm() })
}

async function writeDayChange(desk: Desk<'on'>) {
  const { db, group, today } = desk
  const day = await dayOr404(desk)
  const { on, weekStartOn, week } = day
  if (!week) throw new PageError(409, 'day.no-published-week')
  const form = readForm(DayChangeForm, desk.body)
  if (!form.ok) return show(desk, day, { filled: form })
  const { pumpId, kind, gave, since, until } = form.data
  const pump = week.inputs.pumps.find((one) => one.id === pumpId)
  if (!pump) return show(desk, day, { filled: withError(form, 'pumpId', 'error.choose') })
  const fromMinute = since ? clockMinute(since) : startOfChange(desk, on)
  const untilMinute = kind === 'down' && until ? clockMinute(until) : null
  if (untilMinute !== null && untilMinute <= fromMinute) {
    return show(desk, day, { filled: withError(form, 'until', 'day.until-before-since') })
  }
  const read = await givenSoFar(desk, { day: { ...day, week }, pumpId, kind, gave, fromMinute })
  if (read && 'field' in read) return show(desk, day, { filled: withError(form, read.field, read.key, read.values) })
  const change = { weekStartOn, on, pumpId, kind, fromMinute, untilMinute, given: read }
  const callableFromMinute = callableFrom({ on, today, now: desk.at, timeZone: group.timeZone })
  const { turns, problems } = await reshared(db, { group, day: { ...day, week }, change, callableFromMinute })
  if (problems.length > 0) {
    const code = problems.map((one) => one.code).join(', ')
    return show(desk, day, { filled: form, problem: 'day.reshare-refused', problemValues: { code } })
  }
  const reason = desk.t(`day.reason-${kind}`, {
    number: pump.number,
    clock: desk.format.clock(fromMinute),
    gave: gave === null ? '' : desk.format.one(gave),
  })
  return write(
    desk,
    (pen) => addDayChange(pen, change, { reason, turns }),
    () => `/log/days/${on}`,
  )
}

async function writeClosing(desk: Desk<'on'>) {
  const day = await dayOr404(desk)
  if (day.on > desk.today) throw new PageError(409, 'day.not-yet')
  if (!day.totals.isClosed) return show(desk, day, { filled: emptyForm(), problem: 'day.still-open' })
  return write(
    desk,
    (pen) => closeDaySheet(pen, day.on, foundOn(day)),
    () => `/log/days/${day.on}`,
  )
}

async function dayOr404({ db, group, params, parts }: Desk<'on'>): Promise<ShownDay> {
  found(isCalendarDate(params.on) || undefined)
  return shownDay(db, parts.rotation, group, params.on)
}

/** Nobody typed a time: today it is now, on another day the whole day. */
function startOfChange({ at, today, timeZone }: Desk, on: string): number {
  return on === today ? clockMinute(localClock(at, timeZone)) : 0
}

async function show(desk: Desk, day: ShownDay, shown: Shown) {
  if (shown.problem) desk.reply.code(409)
  if (Object.keys(shown.filled.errors).length > 0) desk.reply.code(422)
  const odd = await desk.parts.rotation.oddOn(desk.db, { on: day.on, timeZone: desk.timeZone })
  const told = dayPage(desk, day, { ...shown, ...(await besideDay(desk, day)) })
  const opened = ({ turn, isNext }: (typeof told.lines)[number]) =>
    desk.query.open ? desk.query.open === `turn-${turn.bookId}` : isNext
  return page(desk, 'rotation/day/page', {
    ...told,
    inSheets: rowsInSheets(desk, 'turns', told.lines, opened),
    odd,
    others: othersShown(desk, day, odd),
    chambered: desk.may('level.record') ? await chamberedWeirs(desk) : [],
  })
}

async function chamberedWeirs({ db, today }: Desk): Promise<Weir[]> {
  const chambered = await weirsWithChamber(db, today)
  return (await listWeirs(db)).filter(({ id }) => chambered.has(id))
}

/** The lines of the day's other water, and all that was written for the day, each odd one marked. */
function othersShown({ t, format }: Desk, { others }: ShownDay, odd: ReadonlyMap<string, string>) {
  return others.map((draw) => ({
    words: [
      t(`abstractions.use.${draw.use}`),
      ...(draw.plotNumber === null ? [] : [t('abstractions.plot-line', { number: draw.plotNumber })]),
    ].join(', '),
    small: [
      ...(draw.startTime ? [[draw.startTime, draw.endTime].filter(Boolean).join('–')] : []),
      placeOf(t, draw),
      ...(draw.use === 'irrigation' ? [t('day.off-sheet-small', { who: draw.writerName })] : []),
    ].join(' · '),
    strong: odd.has(draw.id) ? `▲ ${t('abstractions.log.odd')}` : '',
    figure: t('abstractions.log.done', { volume: format.toLitre(draw.volumeM3) }),
    href: `/log/lines/drawn/${draw.id}`,
  }))
}

function placeOf(t: Desk['t'], { outletNumber, pumpNumber, weirName }: LoggedDraw): string {
  if (outletNumber !== null) return t('abstractions.outlet-line', { number: outletNumber, pump: pumpNumber ?? '' })
  if (pumpNumber !== null) return t('abstractions.pump-line', { number: pumpNumber })
  return t('abstractions.weir-line', { name: weirName })
}
