import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { may as mayDo, type Permission } from '../../../domain/people/permissions.ts'
import type { Database } from '../../database/connection.ts'
import type { Parts } from '../../parts.ts'
import type { Format } from '../figures/format.ts'
import { type Locale, loadLocale } from '../figures/locale.ts'
import { type OwnCount, ownCount } from '../figures/own-measure.ts'
import { keptOr } from '../kept-pages.ts'
import { catalogueOf } from '../words/catalogue.ts'
import { found, PageError } from './errors.ts'
import { countedFor, MOST_FIELDS, MOST_FIELDS_OF_STRANGERS } from './field-limit.ts'
import type { SignedIn, Visit } from './page.ts'
import { momentOfForm } from './visit.ts'

/** What one page or one form works with: the book, the moment, who stands there, and what was asked. */
export interface Desk<Param extends string = never> {
  readonly db: Database
  readonly parts: Parts
  readonly at: Date
  readonly clock: Visit['clock']
  readonly request: FastifyRequest
  readonly reply: FastifyReply
  readonly params: Readonly<Record<Param, string>>
  /** What stands after the question mark; of a name given twice, the first. */
  readonly query: Readonly<Record<string, string | undefined>>
  readonly body: unknown
  /** The calendar date of the moment in the group's zone. */
  readonly today: string
  readonly timeZone: string
  readonly group: Group
  readonly person: SignedIn
  readonly format: Format
  readonly locale: Locale
  readonly t: Locale['t']
  /** The words, figures and measure of whom something is for; of null, those of the group. */
  readonly wordsFor: Visit['wordsFor']
  /** A volume in the measure that whoever looks chose; empty for cans. */
  readonly own: OwnCount
  may(permission: Permission): boolean
  /** What a form of one button sends under a name; nothing where it sends none. */
  posted(name: string): string | undefined
}

export function deskOf<Param extends string>(parts: Parts, request: FastifyRequest, reply: FastifyReply): Desk<Param> {
  const { visit } = request
  const timeZone = visit.group?.timeZone ?? 'UTC'
  const { at, today } =
    request.method === 'POST'
      ? momentOfForm(visit.clock, timeZone, request.body)
      : { at: visit.clock.readAt, today: visit.today }
  return {
    db: parts.db,
    parts,
    at,
    clock: visit.clock,
    request,
    reply,
    params: request.params as Record<Param, string>,
    query: firstOfEach(request.query as Record<string, string | string[]>),
    body: request.body,
    today,
    timeZone,
    get group() {
      return found(visit.group ?? undefined)
    },
    get person() {
      if (!request.person) throw new PageError(403, 'error.page-403')
      return request.person
    },
    format: visit.format,
    locale: visit.locale,
    t: visit.locale.t,
    wordsFor: visit.wordsFor,
    own: ownCount(visit.locale.t, visit.format, visit.ownMeasure),
    may: (permission) => mayDo({ roles: request.person?.roles ?? [], permission }),
    posted: (name) => {
      const value = ((request.body ?? {}) as Record<string, unknown>)[name]
      return typeof value === 'string' ? value : undefined
    },
  }
}

/** The same desk in the words and figures of whom something is for: a person, or of null the group. */
export async function deskFor<D extends Desk>(desk: D, personId: Id<'person'> | null): Promise<D> {
  const { locale, format, ownMeasure } = await desk.wordsFor(personId)
  const words = { locale, format, t: locale.t, own: ownCount(locale.t, format, ownMeasure) }
  const theirs = Object.getOwnPropertyDescriptors(words)
  return Object.defineProperties({}, { ...Object.getOwnPropertyDescriptors(desk), ...theirs }) as D
}

/** What a part of a page is shown with that is for somebody else than its reader; of a language with first pages alone its words are English. */
export function inWordsOf({ locale, format, own }: Pick<Desk, 'locale' | 'format' | 'own'>) {
  const { language, dir } = catalogueOf(locale.language).state === 'first-pages' ? loadLocale('en') : locale
  return { t: locale.t, f: format, asCounted: own, language, dir }
}

function firstOfEach(query: Record<string, string | string[]>): Record<string, string | undefined> {
  return Object.fromEntries(Object.entries(query).map(([name, value]) => [name, [value].flat()[0]]))
}

/** The names after the colons of an address. */
type ParamIn<Path extends string> = Path extends `${string}:${infer Rest}` ? NameIn<Rest> : never
type NameIn<Rest extends string> = Rest extends `${infer Name}/${infer Tail}`
  ? BareName<Name> | ParamIn<Tail>
  : BareName<Rest>
type BareName<Name extends string> = Name extends `${infer Bare}.${string}`
  ? Bare
  : Name extends `${infer Bare}?${string}`
    ? Bare
    : Name

type Answer<Path extends string> = (desk: Desk<ParamIn<Path>>) => unknown

/** Who may open a page: whoever has the permission, or also somebody who has not signed in. */
type Guard = Permission | 'anybody'

interface Limit {
  /** How often one address may send a form in five minutes; none where nothing can be guessed by trying. */
  mostInFiveMinutes?: number
  /** All addresses share what may be sent. */
  inAll?: boolean
  /** Takes the file of a whole book, which is longer than any other upload. */
  wholeBook?: boolean
  /** How many fields it can have, where that is more than other forms have. */
  mostFields?: number
}

/**
 * The pages of a room: each address, whole, with who may open it and the one function that answers. Several ways of one thing
 * share an address and are told apart by `as`: `/water/stream/flow` by the float, `/water/stream/flow?as=bucket` by the bucket.
 */
export interface Pages {
  get<Path extends string>(path: Path, guard: Guard, answer: Answer<Path>): void
  post<Path extends string>(path: Path, guard: Guard, answer: Answer<Path>, limit?: Limit): void
}

export function pagesOf(app: FastifyInstance, parts: Parts): Pages {
  return {
    get: (path, guard, answer) =>
      void app.get(bare(path), { ...wayOf(path), ...optionsOf(parts, guard) }, (request, reply) =>
        keptOr(parts.db, { request, reply }, () => answer(deskOf(parts, request, reply))),
      ),
    post: (path, guard, answer, limit) =>
      void app.post(bare(path), { ...wayOf(path), ...optionsOf(parts, guard, limit) }, (request, reply) => {
        const answerForm = () => answer(deskOf(parts, request, reply))
        const once = () => answerOnce(parts, request, reply, answerForm)
        // Whoever signs in writes nothing that two could cross in, and hashing a password takes long.
        return guard === 'anybody' ? once() : oneAtATime(parts.db, once)
      }),
  }
}

function bare(path: string): string {
  return path.split('?')[0]!
}

/** The way that an address names; none, for the first way and for whatever way is not known. */
function wayOf(path: string) {
  const way = path.split('?as=')[1]
  return way === undefined ? {} : { constraints: { as: way } }
}

/** Lets addresses be told apart by their way; before any page is added. */
export function addWays(app: FastifyInstance): void {
  app.addConstraintStrategy({
    name: 'as',
    storage: () => new Map(),
    deriveConstraint: ({ url }) => /[?&]as=([\w-]+)/.exec(url ?? '')?.[1],
    mustMatchWhenDerived: false,
  })
}

/** The form of each book that was taken last. */
const lastOf = new WeakMap<object, Promise<unknown>>()

/**
 * Takes the forms of a book one after the other: from the first thing that a form's handler reads to its writing no other form
 * is written, so two officers who press at the same moment cannot cross, and the second reads what the first has done.
 */
function oneAtATime<T>(book: object, work: () => T | Promise<T>): Promise<T> {
  const before = lastOf.get(book) ?? Promise.resolve()
  const done = before.then(work)
  lastOf.set(
    book,
    done.then(
      () => undefined,
      () => undefined,
    ),
  )
  return done
}

/** A re-sent form gets its first answer again, before anything looks at its fields; also one answered while this sending waited. */
async function answerOnce(parts: Parts, request: FastifyRequest, reply: FastifyReply, answerForm: () => unknown) {
  const answered = await parts.answeredBefore(request)
  return answered === null ? answerForm() : reply.redirect(answered, 303)
}

declare module 'fastify' {
  interface FastifyContextConfig {
    wholeBook?: boolean
    mostFields?: number
  }
}

function optionsOf(
  parts: Parts,
  guard: Guard,
  { mostInFiveMinutes: max, inAll = false, wholeBook = false, mostFields = fieldsFor(guard) }: Limit = {},
) {
  const preHandler = guard === 'anybody' ? [] : [guarded(parts, guard)]
  const keyGenerator = ({ ip }: FastifyRequest) => countedFor(parts.db, inAll ? 'all' : ip)
  const rateLimit = max === undefined ? {} : { rateLimit: { max, timeWindow: '5 minutes', keyGenerator } }
  return { preHandler, config: { ...rateLimit, wholeBook, mostFields } }
}

function fieldsFor(guard: Guard): number {
  return guard === 'anybody' ? MOST_FIELDS_OF_STRANGERS : MOST_FIELDS
}

/** Where whoever still has the password of an officer may go: to choose one of their own. */
const CHOOSING = '/people/settle/password'

/** Lets a request through only with the permission; a visitor without a sign-in is shown the door to it. */
function guarded(parts: Parts, permission: Permission) {
  return async (request: FastifyRequest, reply: FastifyReply) => {
    const { person, method, url } = request
    if (!person) {
      // Whoever was signed out while writing keeps what was written: it is kept for them, or stands on the page that answers.
      if (method !== 'GET')
        throw new PageError(401, (await parts.keepAside(request)) ? 'error.page-401-kept' : 'error.page-401')
      return reply.redirect(`/sign-in?next=${encodeURIComponent(url)}`, 303)
    }
    if (person.mustChoose && !request.routeOptions.url?.startsWith(CHOOSING)) {
      if (method !== 'GET') throw new PageError(403, 'error.choose-password')
      return reply.redirect(CHOOSING, 303)
    }
    if (mayDo({ roles: person.roles, permission })) return
    await parts.tellRefusal(request)
    throw new PageError(403, 'error.page-403')
  }
}
