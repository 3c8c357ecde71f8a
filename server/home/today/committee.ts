import { daysBetween } from '../../../domain/calendar.ts'
import { weekEndOn } from '../../../domain/weeks.ts'
import { plotsWithOverdueCrops } from '../../crops/plan/overdue-store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { type WaterState, waterStates } from '../../water/storage/state.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Due, Line } from './line.ts'
import type { Now } from './now.ts'

/** A level older than this no longer carries next week's plan. */
const READ_EVERY_DAYS = 7
/** So many days before it begins the coming week is worked out. */
const PLAN_AHEAD_DAYS = 3

/** For the committee: the week that should be published, what it needs first, and what the sand and the plots ask for. */
export async function dueForCommittee(desk: Desk, now: Now): Promise<Due> {
  const states = await waterStates(desk.db, { on: desk.today })
  const stale = states.filter(({ ageDays }) => ageDays === null || ageDays > READ_EVERY_DAYS)
  const lines = [
    ...thisWeek(desk, now),
    ...comingWeek(desk, now, stale),
    ...stale.map((state) => staleLine(desk, state)),
    ...rests(desk, states),
    ...(await grown(desk)),
  ]
  return { lines, otherwise: allPublished(desk, now) }
}

function thisWeek({ t, format }: Desk, { weeks }: Now): Line[] {
  if (weeks.isPublished.current) return []
  return [weekLine(weeks.current, t('today.week-running'), t('today.week-of', { start: format.date(weeks.current) }))]
}

/** Levels first: a week that is worked out on old ones promises what nobody has seen. */
function comingWeek({ t, format, today }: Desk, { weeks }: Now, stale: readonly WaterState[]): Line[] {
  const { next, isPublished } = weeks
  if (isPublished.next || daysBetween(today, next) > PLAN_AHEAD_DAYS) return []
  const of = t('today.week-of', { start: format.date(next) })
  const [oldest] = stale
  if (!oldest) return [weekLine(next, t('today.week-coming'), of)]
  const href = `/water/levels/new?weirId=${oldest.weir.id}`
  return [{ picture: 'level', words: t('today.read-then-publish'), small: of, figure: String(stale.length), href }]
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
      href: `/water/weirs/${first.weir.id}/loss`,
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
