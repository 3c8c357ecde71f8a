import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { WeekProblem } from '../../../domain/rotation/draft/check.ts'
import { checkChangedWeek, withoutSecondName } from '../../../domain/rotation/manual-change/week.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { isWeekOver, nextWeekOn, weekEndOn, weekStartOf } from '../../../domain/weeks.ts'
import { write } from '../../book/pen.ts'
import { hasSecondName } from '../../people/person/grave-store.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { ownAlone } from '../basis/looked.ts'
import { publishedStarts, publishWeek } from '../published/store.ts'
import { alarmsOfWeek, foundWeek } from './found.ts'
import { ownWaterWords, publishPage } from './last-look.ts'
import { type Problem, weekPage } from './pages.ts'

/** One week with its turns, water and shares and the publication of a draft. */
export function addWeekPages({ get, post }: Pages): void {
  get('/turns', 'turns.see', toThisWeek)
  get('/turns/weeks/:start', 'turns.see', showWeek)
  get('/turns/weeks/:start/publish', 'money.see-own', lookBeforePublishing)
  post('/turns/weeks/:start/publish', 'week.publish', writePublication)
}

/** The week that runs: whoever opens the turns looks for what is now. */
async function toThisWeek({ reply, today, group }: Desk) {
  return reply.redirect(`/turns/weeks/${weekStartOf(today, group)}`, 303)
}

async function showWeek(desk: Desk<'start'>) {
  return show(desk, await foundWeek(desk), [])
}

/** The last look: what is given, who goes short and why, and only then the button. */
async function lookBeforePublishing(desk: Desk<'start'>) {
  const shown = await foundWeek(desk)
  return page(desk, 'rotation/week/publish/page', await publishPage(desk, shown, draftOf(desk, shown)))
}

/** The draft of a week that can still be published. */
export function draftOf({ today, group }: Desk<'start'>, { week, weekStartOn }: Awaited<ReturnType<typeof foundWeek>>) {
  if (!week) throw new PageError(409, 'rotation.no-rule')
  if (week.published) throw new PageError(409, 'rotation.already-published')
  if (isWeekOver(weekStartOn, group, today)) throw new PageError(409, 'rotation.week-over')
  return week
}

async function writePublication(desk: Desk<'start'>) {
  const shown = await foundWeek(desk)
  const { weekStartOn } = shown
  const week = draftOf(desk, shown)
  if (week.digest !== desk.posted('digest')) return show(desk, shown, [{ key: 'rotation.draft-changed', values: {} }])
  const unsigned = withoutSecondName(week.inputs, week.results)
  if (unsigned.length > 0) return show(desk, shown, unsigned.map(unsignedWords(week.inputs)))
  const alone = [...(await ownAlone(desk, week)), ...ownWaterWords(desk, week)]
  if (alone.length > 0 && (await hasSecondName(desk)))
    return show(desk, shown, [{ key: 'rotation.basis-alone', values: { lines: alone.join('; ') } }])
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

async function show(desk: Desk<'start'>, shown: Awaited<ReturnType<typeof foundWeek>>, problems: Problem[]) {
  if (problems.length > 0) desk.reply.code(409)
  return page(desk, 'rotation/week/page', {
    ...weekPage(desk, shown, problems),
    alarms: await alarmsOfWeek(desk),
    others: await otherWeeks(desk, shown.weekStartOn),
  })
}

/** The weeks that can be opened from a week's page: the one before it and the one after, and all that were published before today's. */
async function otherWeeks({ db, group, today }: Desk, start: CalendarDate) {
  const current = weekStartOf(today, group)
  const starts = await publishedStarts(db)
  const before = weekStartOf(addDays(start, -1), group)
  const after = start <= current ? nextWeekOn(start, group) : null
  return {
    before: starts.includes(before) || before >= current ? before : null,
    after,
    isAfterOpen: start === current && after !== null && !starts.includes(after),
    earlier: starts
      .filter((one) => one < current)
      .map((one) => ({ start: one, end: weekEndOn(one, group) }))
      .reverse(),
  }
}
