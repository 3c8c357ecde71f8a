import { addDays, type CalendarDate, datesFromTo, daysBetween } from '../../../domain/calendar.ts'
import { weekEndOn } from '../../../domain/weeks.ts'
import { plotsWithOverdueCrops } from '../../crops/plan/overdue-store.ts'
import { cropPlans } from '../../crops/plan/store.ts'
import { cropSettings } from '../../crops/setting/store.ts'
import { endingTerms } from '../../people/handover/state.ts'
import { listPlots } from '../../people/plot/store.ts'
import { requestsFor } from '../../rotation/request/store.ts'
import { type WaterState, waterStates } from '../../water/storage/state.ts'
import { weatherDays } from '../../water/weather/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Due, Line } from './line.ts'
import type { Now } from './now.ts'

/** A level older than this no longer carries next week's plan. */
const READ_EVERY_DAYS = 7
/** So many days before it begins the coming week is worked out. */
const PLAN_AHEAD_DAYS = 3

/** The needs of a week lean on the days just before it. */
const LOOK_BACK_DAYS = 7

/** For the committee: the week that should be published, what it needs first, and what the sand and the plots ask for. */
export async function dueForCommittee(desk: Desk, now: Now): Promise<Due> {
  const states = await waterStates(desk.db, { on: desk.today })
  const stale = states.filter(({ ageDays }) => ageDays === null || ageDays > READ_EVERY_DAYS)
  const lines = [
    ...thisWeek(desk, now),
    ...(await comingWeek(desk, now, stale)),
    ...stale.map((state) => staleLine(desk, state)),
    ...rests(desk, states),
    ...(await grown(desk)),
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
  const before = [...levelsFirst(desk, stale, of), ...weatherFirst(desk, gaps)]
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

function staleLine({ t, format }: Desk, { weir, ageDays, reading }: WaterState): Line {
  return {
    picture: 'level',
    words: t('today.level', { number: weir.number, name: weir.name }),
    small: reading ? t('today.level-read', { date: format.date(reading.readOn) }) : t('today.level-never'),
    figure: ageDays === null ? '–' : t('today.days', { count: ageDays }),
    href: `/water/levels/new?weirId=${weir.id}`,
  }
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

async function grown({ db, today, t }: Desk): Promise<Line[]> {
  const overdue = await plotsWithOverdueCrops(db, today)
  const plots = (await listPlots(db, today)).filter(({ id }) => overdue.has(id))
  if (plots.length === 0) return []
  const small = t('today.grown-words', { plots: plots.map(({ number }) => number).join(', ') })
  return [{ picture: 'crops', words: t('today.grown'), small, figure: String(plots.length), href: '/crops' }]
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
