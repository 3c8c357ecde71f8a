import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Shortfall } from '../../../domain/rotation/booking.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { sum } from '../../../domain/sum.ts'
import { MINUTES_PER_DAY } from '../../../domain/units.ts'
import type { Facts, Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { type DayChange, dayChangesOn } from '../day/store.ts'
import { restClosures } from '../draft/closures.ts'
import { type StandingWeek, standingWeek } from '../outcome/standing-week.ts'
import { addAmendment } from '../published/amendment-store.ts'

export interface BookableWeek extends StandingWeek {
  shortfalls: Shortfall[]
}

/** The week as bookings may use it: hours after the sun or a pump failed are nobody's until the day is over. */
export async function bookableWeek(db: Database, weekStartOn: CalendarDate): Promise<BookableWeek | undefined> {
  const week = await standingWeek(db, weekStartOn)
  if (!week) return undefined
  const changes = await dayChangesOn(db, ...week.inputs.days)
  const pumps = week.inputs.pumps.map((pump) => {
    const flowM3PerHByDay = { ...pump.flowM3PerHByDay }
    for (const { on, fromMinute, untilMinute } of changes.filter((change) => change.pumpId === pump.id)) {
      const isLost = (hour: number) => (hour + 1) * 60 > fromMinute && hour * 60 < (untilMinute ?? MINUTES_PER_DAY)
      flowM3PerHByDay[on] = (flowM3PerHByDay[on] ?? []).map((flow, hour) => (isLost(hour) ? 0 : flow))
    }
    return { ...pump, flowM3PerHByDay }
  })
  // The rest days as they stand now: one that two others set aside since is open to be booked.
  const closures = [
    ...week.inputs.closures.filter(({ isRestOfStream }) => !isRestOfStream),
    ...(await restClosures(db, week.inputs.days)),
  ]
  return { ...week, inputs: { ...week.inputs, pumps, closures }, shortfalls: await shortfallsOf(db, week, changes) }
}

/** What each plot went short of when the sun failed; a pump that stood still is nobody's debt. */
async function shortfallsOf(db: Database, week: StandingWeek, changes: readonly DayChange[]): Promise<Shortfall[]> {
  const bookings = await db
    .selectFrom('booking')
    .select('turnId')
    .where('weekStartOn', '=', week.inputs.weekStartOn)
    .where(standing('booking'))
    .execute()
  const booked = new Set(bookings.map(({ turnId }) => turnId))
  const ofSun = changes.filter(({ kind }) => kind !== 'down')
  return ofSun.flatMap(({ pumpId, turns, at }) => {
    const weirId = week.inputs.pumps.find((pump) => pump.id === pumpId)?.weirId ?? ''
    return turns
      .filter(({ wasM3, nowM3 }) => wasM3 - nowM3 >= 0.001)
      .map(({ plotId, wasM3, nowM3 }): Shortfall => {
        const later = week.standing.filter(
          (turn) => turn.plotId === plotId && booked.has(turn.bookId) && turn.writtenAt >= at,
        )
        return { plotId, weirId, shortM3: wasM3 - nowM3, bookedSinceM3: sum(later, ({ volumeM3 }) => volumeM3) }
      })
  })
}

/** Writes a booked turn: an amendment that adds it, with the booking beside it. */
export async function addBooking(
  pen: Pen,
  { weekStartOn, turn, reason, forPersonId, facts }: BookingWritten,
): Promise<string> {
  const { plotId, outletId, on, startMinute, volumeM3 } = turn
  const change = { kind: 'add' as const, plotId, outletId, wasOn: null, on, startMinute, volumeM3, reason }
  return addAmendment(
    pen,
    { weekStartOn, turnId: null, change, turn },
    {
      head: { kind: 'turn-booking', forPersonId },
      facts: (turnId) => ({ ...facts, booking: [{ weekStartOn, turnId: turnId!, plotId, volumeM3 }] }),
    },
  )
}

interface BookingWritten {
  weekStartOn: CalendarDate
  turn: PlannedTurn
  reason: string
  /** The holder for whom somebody else books. */
  forPersonId: Id<'person'> | null
  /** How it was asked for and its volume typed, and how those agreed who hold the plot too. */
  facts?: Facts
}
