import type { Id } from '../../../domain/id.ts'
import '@fastify/csrf-protection'
import '@fastify/view'
import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Group } from '../../../domain/people/group.ts'
import { may, type Permission } from '../../../domain/people/permissions.ts'
import type { Clock } from '../../book/clock.ts'
import type { ToCome } from '../../book/to-come.ts'
import type { Format } from '../figures/format.ts'
import type { Locale, Values } from '../figures/locale.ts'
import { namesOf } from '../figures/names-of-doors.ts'
import { type OwnMeasure, ownCount } from '../figures/own-measure.ts'
import type { Filled, Form } from '../forms/forms.ts'
import { type Numbers, type Options, withNumbers } from '../forms/numbers.ts'
import { KEY_OF_FORM, KEY_OF_SESSION, withKeys } from '../kept-pages.ts'
import { IS_PRACTICE } from '../practising.ts'
import { laidOutAs, withBorrowed } from '../words/borrowed.ts'
import { languagesToTap } from '../words/taps.ts'

/** What every request knows of its visitor and of the book; filled by the hooks in `visit.ts`. */
export interface Visit {
  locale: Locale
  format: Format
  /** The words and figures of whom something is for; of null, those of the group. */
  wordsFor: (personId: Id<'person'> | null) => Promise<Words & Pick<Visit, 'ownMeasure'>>
  clock: Clock
  /** What was settled for a day to come and is read on this page. */
  coming: readonly ToCome[]
  /** In what whoever looks counts water beside m3; null for cans. */
  ownMeasure: OwnMeasure | null
  today: string
  group: Group | null
  /** The marks that people go by today. */
  marks: () => Promise<Marks>
  /** What long choices send in place of ids. */
  numbers: () => Promise<Numbers>
  /** The tabs in the header for whoever has these roles, with the one lit to which the path belongs. */
  doors: (
    roles: readonly string[],
    path: string,
  ) => { label: string; href: string; picture: string; current: boolean }[]
  /** The ways of the thing at an address, for whoever has these roles: `pattern` as it is registered, `path` as it was asked. */
  ways: (
    roles: readonly string[],
    address: { pattern: string; path: string; as: string },
  ) => { words: string; href: string; isShown: boolean }[]
}

/** The mark of a person beside the number: the key of its drawing and how it is said aloud. */
interface MarkShown {
  key: string
  words: string
}

/** The marks that a page may show, by person or by plot; those that it did show are drawn once at its end. */
export interface Marks {
  of(personId: string): MarkShown | null
  ofPlot(plotId: string): MarkShown[]
  /** Whether somebody with an office holds the plot: such a turn bears a folded corner. */
  isOfficers(plotId: string): boolean
  drawn(): readonly { key: string; frame: string | null; transform: string; paths: readonly string[] }[]
}

/** Where nobody's mark is known. */
export const NO_MARKS: Marks = { of: () => null, ofPlot: () => [], isOfficers: () => false, drawn: () => [] }

/** What a sentence is made with. */
export type Words = Pick<Visit, 'locale' | 'format'>

export interface SignedIn {
  id: Id<'person'>
  number: number
  name: string
  roles: readonly string[]
  /** Whether a password that an officer gave is still to be changed. */
  mustChoose: boolean
}

declare module 'fastify' {
  interface FastifyRequest {
    visit: Visit
    person: SignedIn | null
    /** Whose sign-in ran out, where nobody is signed in. */
    lapsedId: Id<'person'> | null
  }
}

/** Where an answer goes: a desk, or a bare request with its reply. */
export interface Asked {
  request: FastifyRequest
  reply: FastifyReply
}

/** Whoever works with the book meets open what a member finds under “More”. */
const OPEN_TO = ['committee', 'attendant', 'treasurer', 'auditor']

/**
 * Renders one page. A view knows nothing but the object it is handed: its own data, the words (`t`), the figures (`f`),
 * what the visitor may do (`can`), and the hidden keys of a form that writes (`keys`) or only acts (`token`). `title` is a
 * key of the catalogue.
 */
export async function page(
  { request, reply }: Asked,
  view: string,
  data: { title: string; titleValues?: Values; options?: Options } & Record<string, unknown>,
) {
  const { locale, format, clock, today, group, doors, ways, coming } = request.visit
  const roles = request.person?.roles ?? []
  const path = request.url.split('?')[0] ?? '/'
  const token = () => `<input type="hidden" name="_csrf" value="${KEY_OF_SESSION}">`
  const heading = locale.t(data.title, data.titleValues ?? {})
  const own = { language: locale.language, dir: locale.dir }
  let laidOut = own
  const html = await reply.viewAsync(view, {
    ...(clock.doubt ? withoutToday(data, today) : data),
    ...(data.options && { options: await withNumbers(data.options, request.visit.numbers) }),
    clock:
      clock.doubt && clock.lastAt
        ? { doubt: clock.doubt, says: clock.machineAt.toISOString(), lastAt: clock.lastAt }
        : null,
    isPractice: IS_PRACTICE,
    heading,
    t: locale.t,
    has: locale.has,
    f: format,
    /** What stands once with a table or list whose rows hold amounts; an empty book has none. */
    inCurrency: group ? locale.t('layout.in-currency', { currency: group.currency }) : '',
    asCounted: ownCount(locale.t, format, request.visit.ownMeasure),
    /** The language and direction of the whole page, once its words are there. */
    laidOut: (body: string) => {
      laidOut = laidOutAs(own, heading + body)
      return laidOut
    },
    languages: request.person ? [] : languagesToTap(request, locale.language),
    today,
    coming,
    group,
    person: request.person,
    can: (permission: Permission) => may({ roles, permission }),
    // What had an address of its own as a way before it became a fold stands open by that way's name.
    opened: asked(request, 'open') || asked(request, 'as'),
    opensMore: roles.some((role) => OPEN_TO.includes(role)),
    namesOf,
    path,
    marks: await request.visit.marks(),
    rooms: doors(roles, path),
    siblings: ways(roles, { pattern: request.routeOptions.url ?? '', path, as: asked(request, 'as') }),
    token,
    keys: () => `${token()}<input type="hidden" name="_form" value="${KEY_OF_FORM}">`,
  })
  const shown = withBorrowed(html, own, laidOut)
  request.keepPage?.(shown)
  return withKeys(shown, reply)
}

/** What an address asks for: which way of the page (`as`), which fold stands open (`open`). */
function asked({ query }: FastifyRequest, name: 'as' | 'open'): string {
  const value = ((query ?? {}) as Record<string, unknown>)[name]
  return typeof value === 'string' ? value : ''
}

/** A form that nobody has filled yet offers no day, where nobody knows which it is. */
function withoutToday(data: Record<string, unknown>, today: string): Record<string, unknown> {
  const { form, filled } = data as { form?: Form; filled?: Filled }
  if (!form || !filled || Object.keys(filled.errors).length > 0) return data
  const values = Object.entries(filled.values).map(([name, value]) => [name, value === today ? '' : value])
  return { ...data, filled: { ...filled, values: Object.fromEntries(values) } }
}
