import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { SESSION_COOKIE } from '../../web/pages/visit.ts'
import { hashPassword, passwordFits } from '../password.ts'
import { findSignIn } from '../person/store.ts'
import { tappedHere } from './code-routes.ts'
import { wakeCode } from './code-store.ts'
import { SignInForm } from './forms.ts'
import { endSession, startSession } from './store.ts'

/** Signing in and out. */
export function addSessionPages({ get, post }: Pages, hashing: Desk['parts']['hashing']): void {
  // A name that nobody has is answered as slowly as a wrong password, so that names cannot be guessed by the clock.
  const decoy = hashPassword('nobody has this password', hashing)
  get('/session/new', 'anybody', newSession)
  post('/session', 'anybody', (desk) => beginSession(desk, decoy), { mostInFiveMinutes: 30 })
  post('/session/endings', 'anybody', leave)
}

async function newSession(desk: Desk) {
  return show(desk, emptyForm(), desk.query.next)
}

async function beginSession(desk: Desk, decoy: Promise<string>) {
  const { db, reply, at } = desk
  const form = readForm(SignInForm, desk.body)
  const next = safeNext((desk.body as { next?: unknown } | undefined)?.next)
  if (!form.ok) return show(desk, form, next)
  const known = await findSignIn(db, form.data.signInName)
  const fits = await passwordFits(known?.passwordHash ?? (await decoy), form.data.password)
  if (!known || !fits) return show(desk, withError(form, '', 'people.sign-in.wrong'), next)
  await wakeCode(db, known.id)
  const key = await startSession(db, { personId: known.id, at, isShared: form.data.shared })
  reply.setCookie(SESSION_COOKIE, key, { path: '/', httpOnly: true, sameSite: 'lax' })
  return reply.redirect(next, 303)
}

async function leave({ db, request, reply }: Desk) {
  const key = request.cookies[SESSION_COOKIE]
  if (key) await endSession(db, key)
  reply.clearCookie(SESSION_COOKIE, { path: '/' })
  return reply.redirect('/', 303)
}

async function show(desk: Desk, filled: Filled, next?: string) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'people/session/sign-in', {
    tapped: await tappedHere(desk),
    title: 'people.sign-in.title',
    form: SignInForm,
    filled,
    action: '/session',
    submit: 'people.sign-in.submit',
    hidden: { next: safeNext(next) },
    intro: ['people.sign-in.intro'],
  })
}

/** No address of anybody's (RFC 6761, 6.4): whatever a path leads to another host from here leads to another host. */
const HERE = 'http://book.invalid'

/** Only a path of this book, never another site, as the reader of addresses in a browser reads it. */
function safeNext(next: unknown): string {
  const path = typeof next === 'string' ? pathHere(next) : null
  // What was written plain may lead away once it is: `/.//elsewhere`.
  return path !== null && pathHere(path) === path ? path : '/'
}

function pathHere(address: string): string | null {
  if (!address.startsWith('/') || !URL.canParse(address, HERE)) return null
  const { origin, pathname, search } = new URL(address, HERE)
  return origin === HERE ? `${pathname}${search}` : null
}
