import { DateTime } from 'luxon'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { nextWeekOn, weekStartOf } from '../../../domain/weeks.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { standingTurns, unsettledOf } from '../../rotation/outcome/settled-state.ts'
import { findPublishedWeek, type PublishedWeek } from '../../rotation/published/store.ts'
import type { BookedTurn } from '../../rotation/published/turn-store.ts'
import { hasMeterToItself, meteredTurn, stopReadings } from '../../rotation/turn-start/stop-state.ts'
import type { Desk } from '../../web/pages/desk.ts'

type DatedTurn = BookedTurn & { weekStartOn: CalendarDate }

/** What the day looks like from where the visitor stands, read once for all offices. */
export interface Now {
  minute: number
  /** Turns of the published weeks, the one that runs and the next, that nobody has called off or missed. */
  turns: DatedTurn[]
  /** Turns that are over or have begun and of which nobody has written anything. */
  unwritten: ReadonlySet<string>
  /** At which reading each turn of today ends, where its start was read. */
  stops: ReadonlyMap<Id<'turn'>, M3>
  /** Turns of today with the pump's meter to themselves: their start can be read. */
  metered: ReadonlySet<Id<'turn'>>
  /** Numbers of the pumps that would outrun their chambers this week: they rest while it fills. */
  outrunning: ReadonlyMap<string, number>
  ownPlots: Plot[]
  ownTurns: DatedTurn[]
  weeks: {
    current: CalendarDate
    next: CalendarDate
    isPublished: { current: boolean; next: boolean }
    published: Pick<PublishedWeek, 'weekStartOn' | 'publishedAt'>[]
  }
}

/** The own turns that run or are still to come. */
export function ownAhead({ today }: Pick<Desk, 'today'>, { ownTurns, minute }: Now): DatedTurn[] {
  return ownTurns.filter(({ on, endMinute }) => on > today || (on === today && endMinute > minute))
}

export async function nowOf(desk: Desk): Promise<Now> {
  const { db, today, group, at, timeZone, person } = desk
  const current = weekStartOf(today, group)
  const next = nextWeekOn(current, group)
  const clock = DateTime.fromJSDate(at, { zone: timeZone })
  const minute = clock.hour * 60 + clock.minute
  const turns = [...(await turnsOf(desk, current)), ...(await turnsOf(desk, next))]
  const begun = turns.filter(({ on, startMinute }) => on < today || (on === today && startMinute <= minute))
  const ownPlots = (await listPlots(db, today)).filter(({ holders }) => holders.some(({ id }) => id === person.id))
  const own = new Set<Id<'plot'>>(ownPlots.map(({ id }) => id))
  const ofToday = turns.filter(({ on }) => on === today).map(meteredTurn)
  const published = await publishedOf(desk, [current, next])
  return {
    minute,
    stops: await stopReadings(db, ofToday),
    metered: new Set(ofToday.filter((turn) => hasMeterToItself(turn, ofToday)).map(({ bookId }) => bookId)),
    outrunning: new Map(
      (published.get(current)?.inputs.pumps ?? [])
        .filter(({ chamberM3PerH }) => chamberM3PerH !== undefined)
        .map(({ id, number }) => [id, number]),
    ),
    turns,
    unwritten: await unsettledOf(db, begun),
    ownPlots,
    ownTurns: turns.filter(({ plotId }) => own.has(plotId)),
    weeks: {
      current,
      next,
      isPublished: { current: published.has(current), next: published.has(next) },
      published: [...published.values()],
    },
  }
}

async function turnsOf({ db }: Desk, weekStartOn: CalendarDate): Promise<DatedTurn[]> {
  return (await standingTurns(db, weekStartOn)).map((turn) => ({ ...turn, weekStartOn }))
}

async function publishedOf({ db }: Desk, starts: readonly CalendarDate[]): Promise<Map<CalendarDate, PublishedWeek>> {
  const weeks = new Map<CalendarDate, PublishedWeek>()
  for (const start of starts) {
    const week = await findPublishedWeek(db, start)
    if (week) weeks.set(start, week)
  }
  return weeks
}
