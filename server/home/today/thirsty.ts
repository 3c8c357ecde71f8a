import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import { nextWeekOn, weekStartOf } from '../../../domain/weeks.ts'
import { weeklyNeeds } from '../../crops/need/state.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Line } from './line.ts'
import { type Now, ownAhead } from './now.ts'

type Short = { plot: Plot; need: Awaited<ReturnType<typeof weeklyNeeds>>[number] }

/**
 * Own plots whose crop is short today, and those that run short before their next turn: what they ask for this week, and the way to how it came and
 * what to do. Whoever has an office finds it under the crops: that first page asks much of the book already.
 */
export async function thirsty(desk: Desk, now: Now): Promise<Line[]> {
  const { db, today, group, person, t, format } = desk
  if (now.ownPlots.length === 0 || person.roles.some((role) => role !== 'member')) return []
  const needs = await weeklyNeeds(db, { group, weekStartOn: weekStartOf(today, group), today })
  const own = now.ownPlots.flatMap((plot) =>
    needs.filter(({ plotId }) => plotId === plot.id).map((need): Short => ({ plot, need })),
  )
  const isShort = own.filter(({ need }) => need.daysLeft?.likely === 0)
  const willBe = own.flatMap((one) => {
    const by = waterBy(desk, one)
    return by !== null && by < waterOn(desk, now, one.plot.id) ? [{ ...one, by }] : []
  })
  const [first] = willBe.map(({ by }) => by).sort()
  return [
    ...lineOf(desk, now, isShort, '/crops', (values) => t('today.thirsty', values)),
    // Two lines that lead to one page would be told as one.
    ...lineOf(desk, now, willBe, `/crops/plots/${willBe[0]?.plot.id}`, (values) =>
      t('today.thirsty-before', { ...values, day: format.weekday(first!) }),
    ),
  ]
}

/** The last day on which water still comes in time, as long as it is to come: water given on a day relieves the next. */
function waterBy({ today }: Desk, { need: { daysLeft } }: Short): CalendarDate | null {
  const days = daysLeft?.likely ?? 0
  return days > 0 ? addDays(today, days - 1) : null
}

/** The day of a plot's next turn, or the first of which nothing is agreed yet. */
function waterOn(desk: Desk, now: Now, plotId: Id<'plot'>): CalendarDate {
  const days = ownAhead(desk, now)
    .filter((turn) => turn.plotId === plotId)
    .map(({ on }) => on)
  const { current, next, isPublished } = now.weeks
  return days.sort()[0] ?? (isPublished.next ? nextWeekOn(next, desk.group) : isPublished.current ? next : current)
}

function lineOf(
  desk: Desk,
  now: Now,
  short: readonly Short[],
  hrefOfMany: string,
  told: (values: { count: number; plots: string }) => string,
): Line[] {
  const [first] = short
  if (!first) return []
  const { t, format, today } = desk
  const turnDays = ownAhead(desk, now).map(({ on }) => on)
  const low = format.jerrycans(sum(short, ({ need: { need } }) => need?.lowM3 ?? 0))
  const high = format.jerrycans(sum(short, ({ need: { need } }) => need?.highM3 ?? 0))
  return [
    {
      picture: 'crops',
      words: told({ count: short.length, plots: short.map(({ plot }) => plot.number).join(', ') }),
      small: t('today.thirsty-words', { cans: `${low}–${high}`, helps: helpBelow(desk, now, turnDays.length > 0) }),
      // Who waters today reads the own turn first.
      isPressing: !turnDays.includes(today),
      href: short.length === 1 ? `/crops/plots/${first.plot.id}` : hrefOfMany,
    },
  ]
}

/** Which doors on the same page help: free hours of a week that is agreed, and asking for the next one. */
function helpBelow({ may }: Desk, { weeks: { isPublished } }: Now, hasTurn: boolean): 'both' | 'free' | 'ask' | 'none' {
  if (!may('water.request')) return 'none'
  const free = hasTurn || isPublished.current
  if (isPublished.next) return free ? 'free' : 'none'
  return free ? 'both' : 'ask'
}
