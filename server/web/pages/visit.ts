import type { FastifyInstance, FastifyRequest } from 'fastify'
import { DateTime } from 'luxon'
import { addDays, isCalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { LITRES_PER_JERRYCAN, LITRES_PER_M3 } from '../../../domain/units.ts'
import type { Clock } from '../../book/clock.ts'
import { type Format, type GroupCounts, makeFormat, USUAL_COUNTS } from '../figures/format.ts'
import { type Locale, withCan } from '../figures/locale.ts'
import type { OwnMeasure } from '../figures/own-measure.ts'
import { NO_NUMBERS, type Numbers, withIds } from '../forms/numbers.ts'
import { readCookie } from './cookies.ts'
import { type Marks, NO_MARKS, type SignedIn, type Visit } from './page.ts'

/** Who holds a key of a session; where the sign-in ran out, only whose it was. */
export type Held = { person: SignedIn } | { lapsedId: Id<'person'> }

/** For whom words are wanted: a person, the request of a stranger, or the whole group. */
export type Reader = { personId: Id<'person'>; request?: FastifyRequest } | { request: FastifyRequest } | 'group'

/** What the plumbing of pages asks of the rooms: handed over where the app is put together. */
interface Visiting {
  now: () => Date
  clock: (machineAt: Date) => Promise<Visit['clock']>
  /** The words that are there whatever becomes of the book. */
  machineWords: Locale
  /** The words for somebody, or for whoever asks and is not signed in; of nobody, those of the group. */
  locale: (reader: Reader, on: string) => Promise<Locale>
  group: () => Promise<Group | undefined>
  /** Who holds the key of a session. */
  person: (session: { key: string; at: Date; today: string }) => Promise<Held | undefined>
  doors: Visit['doors']
  ways: Visit['ways']
  measures: Measures
  /** The marks that people go by on a day. */
  marks: (on: string, locale: Locale) => Promise<Marks>
  /** The numbers of plots, outlets and persons on a day. */
  numbers: (on: string) => Promise<Numbers>
  /** What was settled for a day to come and is read at an address. */
  coming: (path: string, today: string) => Promise<Visit['coming']>
}

/** What the group counts water in, and whoever looks. */
interface Measures {
  /** Its can on a day, and its calendar. */
  counts(on: string): Promise<GroupCounts>
  /** The measure that a person chose beside m3; null for cans. */
  own(personId: Id<'person'>, on: string): Promise<OwnMeasure | null>
}

/** Before every request: who is there, which day it is for the group, in which words and figures to answer. */
export function addVisit(
  app: FastifyInstance,
  { now, machineWords, clock: readClock, locale, group: readGroup, person, doors, ways, ...rest }: Visiting,
): void {
  const { measures, marks, numbers, coming } = rest
  app.decorateRequest('person', null)
  app.decorateRequest('lapsedId', null)
  app.decorateRequest('keepPage', null)
  app.decorateRequest<Visit | null>('visit', null)
  app.addHook('onRequest', async (request) => {
    // It stands if nothing can be read of the book: the page that says so is made of it.
    request.visit = visitOfNobody({ at: now(), locale: machineWords, doors, ways })
    const group = (await readGroup()) ?? null
    const timeZone = group?.timeZone ?? 'UTC'
    const clock = await readClock(now())
    const { at } = clock
    const today = localDate(clock.readAt, timeZone)
    const key = readCookie(request, 'session')
    const held = key ? await person({ key, at, today }) : undefined
    request.person = held && 'person' in held ? held.person : null
    request.lapsedId = held && 'lapsedId' in held ? held.lapsedId : null
    const counts = await measures.counts(today)
    const wordsFor = async (reader: Reader) => wordsOf({ locale: await locale(reader, today), timeZone, counts }, clock)
    const words = await wordsFor(request.person ? { personId: request.person.id, request } : { request })
    request.visit = {
      ...words,
      wordsFor: async (personId) => ({
        ...(await wordsFor(personId ? { personId } : 'group')),
        ownMeasure: personId && (await measures.own(personId, today)),
      }),
      ownMeasure: request.person && (await measures.own(request.person.id, today)),
      clock,
      today,
      group,
      doors,
      ways,
      marks: () => marks(today, words.locale),
      numbers: () => numbers(today),
      coming: [],
    }
    const path = request.url.split('?')[0] ?? '/'
    if (request.person && request.method === 'GET') request.visit.coming = await coming(path, today)
  })
  app.addHook('preHandler', async (request) => {
    if (request.method === 'POST') request.body = await withIds(request.body, request.visit.numbers)
  })
}

/** What a page is made of without the book. */
function visitOfNobody({ at, locale, doors, ways }: Pick<Visit, 'locale' | 'doors' | 'ways'> & { at: Date }): Visit {
  const clock = machineClock(at)
  const words = wordsOf({ locale, timeZone: 'UTC', counts: USUAL_COUNTS }, clock)
  return {
    ...words,
    clock,
    doors,
    ways,
    today: localDate(at, 'UTC'),
    group: null,
    ownMeasure: null,
    coming: [],
    wordsFor: async () => ({ ...words, ownMeasure: null }),
    marks: async () => NO_MARKS,
    numbers: async () => NO_NUMBERS,
  }
}

/** The clock of a machine where no book says otherwise. */
export function machineClock(at: Date): Clock {
  return { at, machineAt: at, readAt: at, lastAt: null, doubt: null, marked: new Set() }
}

/** The words and figures of a page, with the can and the calendar of the group. */
function wordsOf({ locale, timeZone, counts }: Spoken, { marked }: Clock): Pick<Visit, 'locale' | 'format'> {
  const { canLitres } = counts
  const format = formatFor(locale.figures, timeZone, counts)
  const can = { canLitres: format.one(canLitres), cansPerM3: format.one(LITRES_PER_M3 / canLitres) }
  const own = canLitres === LITRES_PER_JERRYCAN ? locale : withCan(locale, can)
  return { locale: own, format: marking(format, marked, own) }
}

interface Spoken {
  locale: Locale
  timeZone: string
  counts: GroupCounts
}

const formats = new Map<string, Format>()

function formatFor(language: string, timeZone: string, counts: GroupCounts): Format {
  const key = JSON.stringify([language, timeZone, counts])
  const known = formats.get(key) ?? makeFormat(language, timeZone, counts)
  formats.set(key, known)
  return known
}

/** A moment at which the clock could not be right says so wherever it is shown: on every page of every register. */
function marking(format: Format, marked: ReadonlySet<string>, { t }: Locale): Format {
  if (marked.size === 0) return format
  const instant = (text: string) =>
    marked.has(text) ? `${format.instant(text)} ▲ ${t('layout.clock-marked')}` : format.instant(text)
  return { ...format, instant }
}

/** The calendar date of an instant in the group's time zone. */
export function localDate(at: Date, timeZone: string): string {
  return DateTime.fromJSDate(at, { zone: timeZone }).toISODate()!
}

/** Hours by which the clocks of a zone are ahead of UTC at noon of a day. */
export function utcOffsetHours(date: string, timeZone: string): number {
  return DateTime.fromISO(`${date}T12:00`, { zone: timeZone }).offset / 60
}

/** The clock times of two seasons of draws; own choice, no source. */
const MOST_INSTANTS = 20_000
const instants = new Map<string, string | null>()

/** The UTC instant of a local date and clock time; null in the gap of a clock change. Every charge and every flag asks for those of all draws. */
export function localInstant(date: string, time: string, timeZone: string): string | null {
  const key = `${date}T${time} ${timeZone}`
  const known = instants.get(key)
  if (known !== undefined) return known
  if (instants.size >= MOST_INSTANTS) instants.clear()
  const instant = reckonInstant(date, time, timeZone)
  instants.set(key, instant)
  return instant
}

function reckonInstant(date: string, time: string, timeZone: string): string | null {
  const text = `${date}T${time}`
  const at = DateTime.fromISO(text, { zone: timeZone })
  return at.isValid && at.toFormat("yyyy-MM-dd'T'HH:mm") === text ? at.toUTC().toISO() : null
}

/** A day typed later than this after the last entry is mistyped, or a setting for a day to come. Own choice, no source. */
const LATEST_DAYS = 120

/** A machine that stands further back than this lost its clock; nearer it was mended or set back, and the day is the same. Own choice, no source. */
const LOST_MS = 24 * 3_600_000

/**
 * The moment by which a form is taken, never before what the book knows. While a machine stands long ago and nobody said which day it is, the latest day that is
 * typed in the form says so: it is over by then, so that nothing that was read, paid or drawn on it is refused as still to come.
 */
export function momentOfForm({ at, readAt }: Clock, timeZone: string, body: unknown): { at: Date; today: string } {
  const today = localDate(readAt, timeZone)
  if (readAt <= at) return { at, today }
  const next = new Date(readAt.getTime() + 1)
  if (readAt.getTime() - at.getTime() <= LOST_MS) return { at: next, today }
  const latest = daysIn(body)
    .filter((day) => day <= addDays(today, LATEST_DAYS))
    .sort()
    .at(-1)
  if (latest === undefined) return { at: next, today }
  const overAt = localInstant(latest, '23:59', timeZone)
  const typedAt = new Date(Math.max(next.getTime(), overAt === null ? 0 : Date.parse(overAt)))
  return { at: typedAt, today: localDate(typedAt, timeZone) }
}

function daysIn(body: unknown): string[] {
  const typed = Object.values((body ?? {}) as Record<string, unknown>).flat()
  return typed.filter((value): value is string => typeof value === 'string' && isCalendarDate(value))
}
