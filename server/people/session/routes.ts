import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { readCookie, takeCookie } from '../../web/pages/cookies.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { safeNext } from '../../web/safe-next.ts'
import { hashPassword, passwordFits } from '../password.ts'
import { findSignIn } from '../person/store.ts'
import { letIn, tryAtDoor } from './at-the-door.ts'
import { tappedHere } from './code-routes.ts'
import { wakeCode } from './code-store.ts'
import { tellTry } from './door-store.ts'
import { SignInForm, SignInWithCodeForm } from './forms.ts'
import { keptOf } from './kept-store.ts'
import { hasList, useCode } from './one-time-store.ts'
import { endSession } from './store.ts'

/** Signing in and out. */
export function addSessionPages({ get, post }: Pages, hashing: Desk['parts']['hashing']): void {
  // A name that nobody has is answered as slowly as a wrong password, so that names cannot be guessed by the clock: ready before the form comes back.
  let made: Promise<string> | undefined
  const decoy = () => {
    made ??= hashPassword('nobody has this password', hashing)
    made.catch(() => {
      made = undefined
    })
    return made
  }
  get('/sign-in', 'anybody', (desk) => {
    void decoy()
    return newSession(desk)
  })
  post('/sign-in', 'anybody', (desk) => beginSession(desk, decoy))
  post('/sign-out', 'anybody', leave)
}

async function newSession(desk: Desk) {
  return show(desk, emptyForm(), desk.query.next)
}

async function beginSession(desk: Desk, decoy: () => Promise<string>) {
  const { db, reply, request } = desk
  const form = readForm(SignInForm, desk.body)
  const next = safeNext((desk.body as { next?: unknown } | undefined)?.next)
  if (!form.ok) return show(desk, form, next)
  const { signInName, password, shared } = form.data
  const known = await findSignIn(db, signInName)
  const hash = known?.passwordHash ?? (await decoy())
  const fits = await tryAtDoor(
    desk,
    signInName,
    async () => (await passwordFits(hash, password)) && known !== undefined,
  )
  if (!known || !fits) {
    await tellTry(db, { kind: known ? 'wrong' : 'unknown', personId: known?.id ?? null, request })
    return show(desk, withError(form, '', 'people.sign-in.wrong'), next)
  }
  if (await hasList(db, known.id)) {
    const asked = readForm(SignInWithCodeForm, desk.body)
    if (!asked.ok) return show(desk, withError(form, 'oneTimeCode', 'people.sign-in.code-asked'), next)
    const code = asked.data.oneTimeCode
    const opens = await tryAtDoor(desk, `code ${known.id}`, () =>
      useCode(db, { personId: known.id, code, at: desk.at }),
    )
    if (!opens) {
      await tellTry(db, { kind: 'one-time-wrong', personId: known.id, request })
      return show(desk, withError(form, 'oneTimeCode', 'people.sign-in.code-wrong'), next)
    }
  }
  await wakeCode(db, known.id)
  await letIn(desk, { personId: known.id, isShared: shared, mustChoose: known.isGiven, name: signInName })
  const kept = await keptOf(db, known.id)
  return reply.redirect(kept.length > 0 ? '/people/kept' : next, 303)
}

async function leave({ db, request, reply }: Desk) {
  const key = readCookie(request, 'session')
  if (key) await endSession(db, key)
  takeCookie(reply, 'session')
  return reply.redirect('/', 303)
}

async function show(desk: Desk, filled: Filled, next?: string) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'people/session/sign-in', {
    tapped: await tappedHere(desk),
    title: 'people.sign-in.title',
    form: filled.errors.oneTimeCode ? SignInWithCodeForm : SignInForm,
    filled,
    action: '/sign-in',
    submit: 'people.sign-in.submit',
    hidden: { next: safeNext(next) },
    intro: ['people.sign-in.intro'],
  })
}
