import type { Instant } from '../../../domain/calendar.ts'
/** One event of a calendar file: instants in UTC, words as they are to be read. */
export interface CalendarEvent {
  uid: string
  startsAt: Instant
  endsAt: Instant
  /** When it was last written; with `sequence` a newer copy takes the place of an older one. */
  stampedAt: Instant
  sequence: number
  summary: string
  description: string
  place: string
  cancelled?: boolean
}

const MOST_OCTETS = 75
const PRODUCT = '-//Commonweir//Water turns//EN'

/**
 * A calendar file that any calendar program reads. Source: RFC 5545 (iCalendar), sections 3.1 (lines ended by CRLF and
 * folded at 75 octets), 3.3.5 form 2 (UTC instants), 3.3.11 (escaped text), 3.6 and 3.8.
 */
export function calendarFile(events: readonly CalendarEvent[]): string {
  const lines = ['BEGIN:VCALENDAR', 'VERSION:2.0', `PRODID:${PRODUCT}`, 'CALSCALE:GREGORIAN', 'METHOD:PUBLISH']
  const all = [...lines, ...events.flatMap(eventLines), 'END:VCALENDAR']
  return all.map((line) => `${folded(line)}\r\n`).join('')
}

function eventLines(event: CalendarEvent): string[] {
  return [
    'BEGIN:VEVENT',
    `UID:${escaped(event.uid)}`,
    `DTSTAMP:${utcForm(event.stampedAt)}`,
    `SEQUENCE:${event.sequence}`,
    `DTSTART:${utcForm(event.startsAt)}`,
    `DTEND:${utcForm(event.endsAt)}`,
    `SUMMARY:${escaped(event.summary)}`,
    `DESCRIPTION:${escaped(event.description)}`,
    `LOCATION:${escaped(event.place)}`,
    `STATUS:${event.cancelled ? 'CANCELLED' : 'CONFIRMED'}`,
    'END:VEVENT',
  ]
}

function utcForm(instant: string): string {
  return `${new Date(instant).toISOString().slice(0, 19).replaceAll(/[-:]/g, '')}Z`
}

function escaped(text: string): string {
  return text
    .replaceAll('\\', '\\\\')
    .replaceAll(';', '\\;')
    .replaceAll(',', '\\,')
    .replaceAll(/\r\n|\r|\n/g, '\\n')
}

/** Long lines go on in the next one after a space; a character is never cut in two. */
function folded(line: string): string {
  const parts: string[] = []
  let part = ''
  for (const character of line) {
    const room = parts.length === 0 ? MOST_OCTETS : MOST_OCTETS - 1
    if (Buffer.byteLength(part + character) > room) {
      parts.push(part)
      part = ''
    }
    part += character
  }
  return [...parts, part].join('\r\n ')
}
