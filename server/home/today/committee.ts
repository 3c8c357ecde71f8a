import { addDays, type CalendarDate, datesFromTo, daysBetween } from '../../../domain/calendar.ts'
import { isOldLevel } from '../../../domain/water/level.ts'
import { weekEndOn } from '../../../domain/weeks.ts'
import { overduePlans } from '../../crops/plan/overdue-store.ts'
import { cropPlans } from '../../crops/plan/store.ts'
import { cropSettings } from '../../crops/setting/store.ts'
import { endingTerms } from '../../people/handover/state.ts'
import { listPlots } from '../../people/plot/store.ts'
import { lessByTest } from '../../rotation/at-outlet-state.ts'
import { weekSkies } from '../../rotation/pump-flow/sky-store.ts'
import { requestsFor } from '../../rotation/request/store.ts'
import { type WaterState, waterStates } from '../../water/storage/state.ts'
import { weatherDays } from '../../water/weather/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { localDate } from '../../web/pages/visit.ts'
import { outletsUnderPump } from '../../works/flow-test/store.ts'
import type { Due, Line } from './line.ts'
import type { Now } from './now.ts'
import { outletOf } from './turn-words.ts'
import { oldLevels, wallsDue } from './weirs.ts'

/** So many days before it begins the coming week is worked out. */
export const PLAN_AHEAD_DAYS = 3

/** So many harvests that nobody wrote have a line of their own. */
const HARVESTS_ALONE = 2

/** The needs of a week lean on the days just before it. */
const LOOK_BACK_DAYS = 7

/** For the committee: the week that should be published, what it needs first, and what the sand and the plots ask for. */
export async function dueForCommittee(desk: Desk, now: Now): Promise<Due> {
  const states = await waterStates(desk.db, { on: desk.today })
  const stale = states.filter(({ ageDays }) => isOldLevel(ageDays))
  const lines = [
    ...thisWeek(desk, now),
    ...(await comingWeek(desk, now, stale)),
    ...printSheet(desk, now),
    ...(await shortByTest(desk, now)),
    ...(await oldLevels(desk)),
    ...(await wallsDue(desk)),
    ...(await grown(desk)),
    ...rests(desk, states),
    ...(await terms(desk)),
  ]
  return { lines, otherwise: allPublished(desk, now) }
}

function thisWeek({ t, format }: Desk, { weeks }: Now): Line[] {
  if (weeks.isPublished.current) return []
  return [weekLine(weeks.current, t('today.week-running'), t('today.week-of', { start: format.date(weeks.current) }))]
}

/** Levels first, then the weather, then the draft with what was asked for: a week that is worked out on old figures promises what nobody has seen. */
async function comingWeek(desk: Desk, { weeks }: Now, stale: readonly WaterState[]): Promise<Line[]> {
  const { db, t, format, today } = desk
  const { next, isPublished } = weeks
  if (isPublished.next || daysBetween(today, next) > PLAN_AHEAD_DAYS) return []
  const of = t('today.week-of', { start: format.date(next) })
  const gaps = await weatherGaps(desk)
  const before = [...levelsFirst(desk, stale, of), ...weatherFirst(desk, gaps), ...(await skyFirst(desk, next))]
  const requests = await requestsFor(db, next)
  return [...before, weekLine(next, t('today.week-coming'), t('today.week-asked', { of, count: requests.length }))]
}

function levelsFirst({ t }: Desk, stale: readonly WaterState[], small: string): Line[] {
  const [oldest] = stale
  if (!oldest) return []
  const href = `/water/levels/new?weirId=${oldest.weir.id}`
  return [{ picture: 'level', words: t('today.read-then-publish'), small, figure: String(stale.length), href }]
}

function weatherFirst({ t, format }: Desk, gaps: readonly CalendarDate[]): Line[] {
  const [first] = gaps
  if (!first) return []
  return [
    {
      picture: 'crops',
      words: t('today.weather-then-publish'),
      small: t('today.weather-missing', { days: gaps.map((day) => format.shortDay(day)).join(', ') }),
      figure: String(gaps.length),
      href: `/crops/weather/new?on=${first}`,
    },
  ]
}

/** What sky the committee expects changes what the pumps lift; without a word it is clear. */
async function skyFirst({ db, t }: Desk, next: CalendarDate): Promise<Line[]> {
  if (Object.keys(await weekSkies(db, next)).length > 0) return []
  return [{ picture: 'today', words: t('today.sky'), small: t('today.sky-words'), href: `/turns/settle/sky/${next}` }]
}

/**
 * Days of the last week, today not among them, without rain or warmth. Where the group goes by a table of months for the thirst
 * of the air, warmth is not asked for; where nothing was ever planted, nothing is.
 */
async function weatherGaps({ db, today }: Desk): Promise<CalendarDate[]> {
  if ((await cropPlans(db)).length === 0) return []
  const { monthTable } = await cropSettings(db, today)
  const span = { fromOn: addDays(today, -LOOK_BACK_DAYS), toOn: addDays(today, -1) }
  const days = new Map((await weatherDays(db, span)).map((day) => [day.onDate, day]))
  return datesFromTo(span.fromOn, span.toOn).filter((on) => {
    const day = days.get(on)
    const lacksWarmth = !monthTable && (day?.tmaxC == null || day.tminC == null)
    return day?.rainMm == null || lacksWarmth
  })
}

function weekLine(start: string, words: string, small: string): Line {
  return { picture: 'week', words, small, href: `/turns/weeks/${start}` }
}

/** The day it was published and the day after, the sheet should come to the board. */
function printSheet({ today, group, t, format }: Desk, { weeks }: Now): Line[] {
  return weeks.published
    .filter(({ publishedAt }) => daysBetween(localDate(new Date(publishedAt), group.timeZone), today) <= 1)
    .map(({ weekStartOn }) => ({
      picture: 'week',
      words: t('today.print-sheet'),
      small: t('today.week-of', { start: format.date(weekStartOn) }),
      href: `/turns/weeks/${weekStartOn}/sheet`,
    }))
}

/** A turn to come that cannot bring what was agreed by the last test of its outlet: nobody else can change it. Others follow once it is changed. */
async function shortByTest(desk: Desk, { turns, minute }: Now): Promise<Line[]> {
  const { db, today, t, format } = desk
  const outlets = await outletsUnderPump(db, today)
  const ahead = turns.filter(({ on, startMinute }) => on > today || startMinute > minute)
  return ahead
    .filter((turn) => lessByTest(desk, turn, outlets) !== null)
    .slice(0, 1)
    .map((turn) => ({
      picture: 'turns',
      words: t('today.less', { ...outletOf(turn), day: format.shortDay(turn.on) }),
      small: t('today.less-words'),
      href: `/turns/weeks/${turn.weekStartOn}/change?turn=${encodeURIComponent(turn.id)}`,
    }))
}

function rests({ t }: Desk, states: readonly WaterState[]): Line[] {
  const due = states.filter(({ restDue }) => restDue)
  const [first] = due
  if (!first) return []
  return [
    {
      picture: 'water',
      words: t('today.rest'),
      small: t('today.rest-words', { weirs: due.map(({ weir }) => weir.name).join(', ') }),
      figure: String(due.length),
      href: `/water/working/loss/${first.weir.id}`,
    },
  ]
}

/** A harvest by itself leads to its form; of many the list of all plots tells. */
async function grown({ db, today, t }: Desk): Promise<Line[]> {
  const plans = await overduePlans(db, today)
  const plots = (await listPlots(db, today)).filter(({ id }) => plans.some(({ plotId }) => plotId === id))
  const line = { picture: 'crops', words: t('today.grown') }
  const small = (numbers: string) => t('today.grown-words', { plots: numbers })
  if (plans.length > HARVESTS_ALONE) {
    const numbers = plots.map(({ number }) => number).join(', ')
    return [{ ...line, small: small(numbers), figure: String(plots.length), href: '/crops' }]
  }
  return plans.map((plan) => {
    const plot = plots.find(({ id }) => id === plan.plotId)
    return { ...line, small: small(`${plot?.number} ${plot?.name}`), href: `/crops/plans/${plan.id}/end` }
  })
}

async function terms({ db, today, t, format }: Desk): Promise<Line[]> {
  return (await endingTerms(db, today)).map(({ name, office, untilOn }) => ({
    picture: 'name',
    words: t(untilOn < today ? 'handover.term.due-over' : 'handover.term.due', {
      name,
      office: t(`handover.term.office.${office}`),
      date: format.date(untilOn),
    }),
    small: t('handover.term.due-words'),
    href: '/people/handovers',
  }))
}

function allPublished({ t, format, group }: Desk, { weeks }: Now): Line {
  const { current, next, isPublished } = weeks
  const until = format.date(weekEndOn(isPublished.next ? next : current, group))
  return {
    picture: 'turns',
    words: t('today.nothing-waits'),
    small: t('today.published-until', { until }),
    href: `/turns/weeks/${current}`,
  }
}
