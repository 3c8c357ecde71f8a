import { isCalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { WeekProblem } from '../../../domain/rotation/draft/check.ts'
import { checkChangedWeek, withoutSecondName } from '../../../domain/rotation/manual-change/week.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { nextWeekOn, weekEndOn, weekStartOf } from '../../../domain/weeks.ts'
import { turnsInDoubt } from '../../book/merge/clash-store.ts'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { alarmLines } from '../alarm/state.ts'
import { clockMinute, localClock } from '../clock.ts'
import { lateStandstills } from '../draft/closures.ts'
import { seasonFrom } from '../outcome/season.ts'
import { outcomesOf, saidOf } from '../outcome/store.ts'
import { unsettledByDay, untypedByDay } from '../outcome/unsettled.ts'
import { ownPlots } from '../plots.ts'
import { type PublishedWeek, publicationsOf, publishedWeeks, publishWeek } from '../published/store.ts'
import { openSheet, takenBackOf } from '../published/taken-back-store.ts'
import { bookedTurnsOf } from '../published/turn-store.ts'
import { publishPage } from './last-look.ts'
import { type ListedTurn, type Problem, sheetPage, weekPage } from './pages.ts'
import { whyItStays } from './taking-back.ts'
import { shownWeek } from './view.ts'

/** The weeks, one week with its turns, water and shares, the sheet to be printed, and the publication of a draft. */
export function addWeekPages({ get, post }: Pages): void {
  get('/weeks', 'turns.see', showWeeks)
  get('/weeks/:start', 'turns.see', showWeek)
  get('/weeks/:start/sheet', 'turns.see', showSheet)
  get('/weeks/:start/publication/new', 'week.publish', lookBeforePublishing)
  post('/weeks/:start/publication', 'week.publish', writePublication)
}

async function showWeeks(desk: Desk) {
  const { group } = desk
  const current = weekStartOf(desk.today, group)
  const published = await publishedWeeks(desk.db)
  const near = [current, nextWeekOn(current, group)].map((start) => ({
    start,
    end: weekEndOn(start, group),
    published: published.find((week) => week.weekStartOn === start) ?? null,
  }))
  const earlier = published
    .filter((week) => week.weekStartOn < current)
    .map(({ weekStartOn: start }) => ({ start, end: weekEndOn(start, group) }))
    .reverse()
  return page(desk, 'rotation/week/list', { title: 'rotation.title', near, earlier })
}

async function showWeek(desk: Desk<'start'>) {
  return show(desk, await foundWeek(desk), [])
}

async function showSheet(desk: Desk<'start'>) {
  const { week, ...beside } = await foundWeek(desk)
  if (!week?.published) throw new PageError(404, 'rotation.sheet-not-yet')
  const openedAt = desk.at.toISOString()
  await openSheet(desk.db, { publishedId: week.published.id, personId: desk.person.id, openedAt })
  const alarms = await alarmsOfWeek(desk)
  return page(desk, 'rotation/week/sheet', { ...sheetPage(desk, { ...beside, week }), alarms })
}

/** The last look: what is given, who goes short and why, and only then the button. */
async function lookBeforePublishing(desk: Desk<'start'>) {
  const shown = await foundWeek(desk)
  return page(desk, 'rotation/week/publish/page', publishPage(desk, shown, draftOf(desk, shown)))
}

/** The draft of a week that can still be published. */
function draftOf({ today, group }: Desk<'start'>, { week, weekStartOn }: Awaited<ReturnType<typeof foundWeek>>) {
  if (!week) throw new PageError(409, 'rotation.no-rule')
  if (week.published) throw new PageError(409, 'rotation.already-published')
  if (weekEndOn(weekStartOn, group) < today) throw new PageError(409, 'rotation.week-over')
  return week
}

async function writePublication(desk: Desk<'start'>) {
  const shown = await foundWeek(desk)
  const { weekStartOn } = shown
  const week = draftOf(desk, shown)
  if (week.digest !== desk.posted('digest')) return show(desk, shown, [{ key: 'rotation.draft-changed', values: {} }])
  const unsigned = withoutSecondName(week.inputs, week.results)
  if (unsigned.length > 0) return show(desk, shown, unsigned.map(unsignedWords(week.inputs)))
  const problems = checkChangedWeek(week.inputs, week.results)
  if (problems.length > 0) return show(desk, shown, problems.map(refusalWords))
  return write(
    desk,
    (pen) => publishWeek(pen, week.inputs, week.results),
    () => `/turns/weeks/${weekStartOn}`,
  )
}

/** A judge's objection; it points to a fault of ours, so the code is shown for whoever mends it. */
function refusalWords({ judge, code, values }: WeekProblem): Problem {
  return { key: `rotation.refused-${judge}`, values: { code, values: JSON.stringify(values) } }
}

function unsignedWords({ plots }: WeekInputs) {
  return ({ plotId }: { plotId: Id<'plot'> }): Problem => ({
    key: 'week.needs-second-name',
    values: { plot: plots.find((plot) => plot.id === plotId)?.number ?? '' },
  })
}

/** The week of the address; its first day must be the group's own first day of a week. */
async function foundWeek(desk: Desk<'start'>) {
  const { db, at, group, today, params, parts } = desk
  const weekStartOn = params.start
  if (!isCalendarDate(weekStartOn) || weekStartOf(weekStartOn, group) !== weekStartOn) {
    throw new PageError(404, 'rotation.no-such-week')
  }
  const week = await shownWeek(db, parts.rotation, { group, weekStartOn, today })
  const lateFaults = week?.published ? await lateStandstills(db, week.inputs) : []
  const turns = week?.published ? await listedTurns(db, week.published) : undefined
  const takenBack = await takenBackOf(db, weekStartOn)
  const publications = week?.published ? await publicationsOf(db, weekStartOn) : []
  const publishedTwice = publications.length - takenBack.length > 1
  const minute = clockMinute(localClock(at, group.timeZone))
  const unsettled = turns
    ? await unsettledByDay(db, turns, { today, minute })
    : await untypedByDay(db, { fromOn: await seasonFrom(db, group), today })
  const own = new Set((await ownPlots(desk, today)).map(({ id }) => id))
  const mayTakeBack = desk.may('week.publish') && week?.published ? !(await whyItStays(desk, weekStartOn)) : false
  return { weekStartOn, week, lateFaults, turns, unsettled, publishedTwice, takenBack, mayTakeBack, own }
}

/** What was agreed and what later changes brought in, each with why it was not taken. */
async function listedTurns(db: Database, published: PublishedWeek): Promise<ListedTurn[]> {
  const { turns } = await bookedTurnsOf(db, published)
  const ids = turns.map((turn) => turn.bookId)
  const outcomes = await outcomesOf(db, ids)
  const doubted = await turnsInDoubt(db)
  return turns.map((turn) => ({
    ...turn,
    missed: saidOf(outcomes, turn.bookId).missed?.cause ?? null,
    inDoubt: doubted.has(turn.bookId),
  }))
}

async function show(desk: Desk<'start'>, shown: Awaited<ReturnType<typeof foundWeek>>, problems: Problem[]) {
  if (problems.length > 0) desk.reply.code(409)
  return page(desk, 'rotation/week/page', { ...weekPage(desk, shown, problems), alarms: await alarmsOfWeek(desk) })
}

/** What is alarming today says nothing of a week that is over. */
async function alarmsOfWeek(desk: Desk<'start'>) {
  return weekEndOn(desk.params.start, desk.group) < desk.today ? [] : alarmLines(desk)
}
