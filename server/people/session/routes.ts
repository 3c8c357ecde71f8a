import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { SESSION_COOKIE } from '../../web/pages/visit.ts'
import { SignInForm } from '../forms.ts'
import { hashPassword, passwordFits } from '../password.ts'
import { findSignIn } from '../person/store.ts'
import { endSession, startSession } from './store.ts'

export function addSessionRoutes(app: FastifyInstance, { db, now, hashing }: Parts): void {
  // A name that nobody has is answered as slowly as a wrong password, so that names cannot be guessed by the clock.
  const decoy = hashPassword('nobody has this password', hashing)

  app.get<{ Querystring: { next?: string } }>('/session/new', async (request, reply) =>
    showSignIn(request, reply, emptyForm(), request.query.next),
  )

  app.post<{ Body: { next?: string } }>(
    '/session',
    { config: { rateLimit: { max: 30, timeWindow: '5 minutes' } } },
    async (request, reply) => {
      const form = readForm(SignInForm, request.body)
      const next = safeNext(request.body?.next)
      if (!form.ok) return showSignIn(request, reply, form, next)
      const known = await findSignIn(db, form.data.signInName)
      const fits = await passwordFits(known?.passwordHash ?? (await decoy), form.data.password)
      if (!known || !fits) return showSignIn(request, reply, withError(form, '', 'people.sign-in.wrong'), next)
      const key = await startSession(db, { personId: known.id, at: now(), isShared: form.data.shared })
      reply.setCookie(SESSION_COOKIE, key, { path: '/', httpOnly: true, sameSite: 'lax' })
      return reply.redirect(next, 303)
    },
  )

  app.post('/session/endings', async (request, reply) => {
    const key = request.cookies[SESSION_COOKIE]
    if (key) await endSession(db, key)
    reply.clearCookie(SESSION_COOKIE, { path: '/' })
    return reply.redirect('/', 303)
  })
}

function showSignIn(request: FastifyRequest, reply: FastifyReply, filled: Filled, next?: string) {
  return formPage(
    { request, reply },
    {
      title: 'people.sign-in.title',
      form: SignInForm,
      filled,
      action: '/session',
      submit: 'people.sign-in.submit',
      hidden: { next: safeNext(next) },
      intro: ['people.sign-in.intro'],
    },
  )
}

/** Only a path of this book, never another site. */
function safeNext(next: string | undefined): string {
  return next && /^\/(?![/\\])/.test(next) ? next : '/'
}
