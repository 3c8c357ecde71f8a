import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { MINUTES_PER_DAY } from '../../../domain/units.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import { dayChangesOn } from '../day/store.ts'
import { outcomesOf, saidOf } from '../outcome/store.ts'
import { amendedTurnId } from '../week/amendment-store.ts'
import { type BookedTurn, bookedTurns, type PublishedShown } from '../week/booked-turns.ts'
import { turnRow } from '../week/turn-row.ts'

export interface StandingWeek extends PublishedShown {
  /** Turns on the list that nobody has called off or missed. */
  standing: BookedTurn[]
}

/** A published week with the turns that stand; undefined for a draft. */
export async function standingWeek(db: Database, weekStartOn: string): Promise<StandingWeek | undefined> {
  const week = await bookedTurns(db, weekStartOn)
  if (!week) return undefined
  const turns = week.turns.filter((turn) => !turn.droppedBy)
  const outcomes = await outcomesOf(
    db,
    turns.map((turn) => turn.bookId),
  )
  return { ...week, standing: turns.filter((turn) => !saidOf(outcomes, turn.bookId).missed) }
}

/** The week as bookings may use it: hours after the sun or a pump failed are nobody's until the day is over. */
export async function bookableWeek(db: Database, weekStartOn: string): Promise<StandingWeek | undefined> {
  const week = await standingWeek(db, weekStartOn)
  if (!week) return undefined
  const changes = (await Promise.all(week.inputs.days.map((on) => dayChangesOn(db, on)))).flat()
  const pumps = week.inputs.pumps.map((pump) => {
    const flowM3PerHByDay = { ...pump.flowM3PerHByDay }
    for (const { on, fromMinute, untilMinute } of changes.filter((change) => change.pumpId === pump.id)) {
      const isLost = (hour: number) => (hour + 1) * 60 > fromMinute && hour * 60 < (untilMinute ?? MINUTES_PER_DAY)
      flowM3PerHByDay[on] = (flowM3PerHByDay[on] ?? []).map((flow, hour) => (isLost(hour) ? 0 : flow))
    }
    return { ...pump, flowM3PerHByDay }
  })
  return { ...week, inputs: { ...week.inputs, pumps } }
}

/** The id of the next turn that an amendment of a week brings in. */
export async function nextTurnId(pen: Pen, weekStartOn: string): Promise<string> {
  const { count } = await pen.trx
    .selectFrom('turn_change')
    .select(({ fn }) => fn.countAll<number>().as('count'))
    .where('week_start_on', '=', weekStartOn)
    .where('stage', '=', 'published')
    .executeTakeFirstOrThrow()
  return amendedTurnId(pen, weekStartOn, Number(count) + 1)
}

/** Writes a booked turn: an amendment that adds it, with the booking beside it. */
export async function addBooking(
  pen: Pen,
  { weekStartOn, turn, reason, forPersonId }: BookingWritten,
): Promise<string> {
  const id = await nextTurnId(pen, weekStartOn)
  const change = {
    week_start_on: weekStartOn,
    stage: 'published',
    kind: 'add',
    turn_id: null,
    plot_id: turn.plotId,
    outlet_id: turn.outletId,
    was_on: null,
    on_date: turn.on,
    start_minute: turn.startMinute,
    volume_m3: turn.volumeM3,
  }
  const booking = { week_start_on: weekStartOn, turn_id: id, plot_id: turn.plotId, volume_m3: turn.volumeM3 }
  return appendEntry(
    pen,
    { kind: 'turn-booking', reason, forPersonId },
    { turn_change: [change], turn: [turnRow(id, turn)], booking: [booking] },
  )
}

interface BookingWritten {
  weekStartOn: string
  turn: PlannedTurn
  reason: string
  /** The holder for whom somebody else books. */
  forPersonId: string | null
}
