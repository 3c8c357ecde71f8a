import { MINUTES_PER_DAY } from '../../../domain/units.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { localInstant } from '../../web/pages/visit.ts'
import { type BookedTurn, type PublishedShown, replacementOf } from '../published/turn-store.ts'
import type { CalendarEvent } from './calendar.ts'
import { shortReason } from './reason.ts'
import { textMessage } from './text.ts'

/** Why the plot gets what it gets, in one sentence. */
export function reasonOf(desk: Desk, week: PublishedShown, { plotId }: BookedTurn, inWords = shortReason): string {
  const share = week.results.shares.find((one) => one.plotId === plotId)
  return share ? inWords(week, share, desk) : ''
}

/** The longest wording comes first; what does not fit a message is left out from the end. */
export function messageOf(desk: Desk, week: PublishedShown, turn: BookedTurn): string {
  if (turn.droppedBy) return textMessage([droppedWords(desk, week, turn)])
  const when = desk.t('slip.message-when', turnValues(desk, turn))
  const stop = stopWords(desk, turn)
  const reason = reasonOf(desk, week, turn)
  const own = desk.own(turn.volumeM3, turn.outlet?.flowM3PerH)
  const wholeWhen = desk.t(own ? 'slip.message-when-own' : 'slip.message-when-whole', {
    ...turnValues(desk, turn),
    own,
  })
  // By gravity there is no pump meter to go by, so that the mark in the tank comes before the reason.
  const shorter = turn.outlet?.tank ? [`${when} ${stop}`] : [`${when} ${reason}`, `${when} ${stop}`]
  // Whoever counts in a measure of their own needs it before the reason.
  const counted = own ? [`${wholeWhen} ${stop}`] : []
  return textMessage([`${wholeWhen} ${stop} ${reason}`, ...counted, `${when} ${stop} ${reason}`, ...shorter, when])
}

/** Of a turn that is off the list: what came in its place, where something did. */
function droppedWords(desk: Desk, week: PublishedShown, turn: BookedTurn): string {
  const was = turnValues(desk, turn)
  const now = replacementOf(week.turns, turn)
  if (!now) return desk.t('slip.message-dropped', was)
  const values = { ...turnValues(desk, now), wasDay: was.day, wasFrom: was.from, wasTo: was.to }
  return desk.t('slip.message-changed', values)
}

/** When to stop: at the volume or the time; from a tank at the time or at its mark. */
function stopWords(desk: Desk, turn: BookedTurn): string {
  const values = turnValues(desk, turn)
  const tank = turn.outlet?.tank
  return tank ? desk.t('tank-turn.stop-short', { ...values, number: tank.number }) : desk.t('slip.message-stop', values)
}

function turnValues({ format }: Desk, turn: BookedTurn) {
  return {
    plot: turn.plot?.number ?? '',
    outlet: turn.outlet?.number ?? '',
    day: format.date(turn.on),
    from: format.clock(turn.startMinute),
    to: format.clock(turn.endMinute),
    volume: format.one(turn.volumeM3),
    jerrycans: format.jerrycans(turn.volumeM3),
    hours: format.duration((turn.endMinute - turn.startMinute) / 60),
  }
}

/** A turn as an entry of a calendar. */
export function eventOf(desk: Desk, week: PublishedShown, turn: BookedTurn): CalendarEvent {
  const values = turnValues(desk, turn)
  return {
    uid: `${turn.bookId}@${week.published.id}`,
    startsAt: instantOf(desk, turn.on, turn.startMinute),
    endsAt: instantOf(desk, turn.on, turn.endMinute),
    stampedAt: turn.writtenAt,
    sequence: turn.droppedBy ? 1 : 0,
    cancelled: turn.droppedBy !== null,
    summary: desk.t('slip.event-summary', values),
    description: `${stopWords(desk, turn)} ${reasonOf(desk, week, turn)}`,
    place: desk.t('slip.event-place', {
      number: values.outlet,
      name: turn.outlet?.name ?? '',
      pump: turn.pump?.number ?? '',
    }),
  }
}

/** A clock time that a change of the clocks skips is told an hour later, as the clock then shows. */
function instantOf({ timeZone }: Desk, on: string, minute: number): string {
  const last = Math.min(minute, MINUTES_PER_DAY - 1)
  return localInstant(on, clockOf(last), timeZone) ?? localInstant(on, clockOf(last + 60), timeZone)!
}

/** `09:05` in the digits of the file format, whatever digits the reader chose. */
function clockOf(minute: number): string {
  return [Math.floor(minute / 60), minute % 60].map((part) => String(part).padStart(2, '0')).join(':')
}
