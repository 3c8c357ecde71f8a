import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { addKeptRoutes } from './kept-routes.ts'
import { type Fields, type Register, registerLine } from './line.ts'
import { optionsOf } from './options.ts'

/** The form and the writing of one register, and the looking through and correcting of what was written. */
export function addRegister<F extends Fields>(app: FastifyInstance, parts: Parts, register: Register<F>): void {
  const { db, now } = parts
  const guard = { preHandler: may(register.permission) }
  if (register.kept) addKeptRoutes(app, parts, register)
  const path = register.path.slice(app.prefix.length)

  app.get(`${path}/new`, guard, async (request, reply) => {
    const start = (await register.start?.(request)) ?? {}
    return show(request, reply, emptyForm({ [register.onField]: request.visit.today, ...start }))
  })

  app.post(path, guard, async (request, reply) => {
    const at = now()
    const line = await registerLine(register, request.body, { request, at })
    if (!line.ok) return show(request, reply, line.form)
    return write({ db, request, reply, at }, line.write, () => register.back)
  })

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: register.title,
        form: register.form(request),
        filled,
        options: await optionsOf(db, request),
        action: register.path,
        intro: register.intro ?? [],
        cautions: register.cautions ?? [],
        back: register.back,
      },
    )
  }
}
