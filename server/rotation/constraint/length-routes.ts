import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { TURN_RULES } from '../../../domain/rotation/draft/limits.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { LengthForm } from './forms.ts'
import { setTurnLengths, turnLengthsOn } from './length-store.ts'

/** How long a turn lasts at least and at most, and the minutes between two. */
export function addTurnLengthRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/turn-lengths/new', { preHandler: may('works.describe') }, async (request, reply) => {
    const { today } = request.visit
    const held: Partial<typeof TURN_RULES> & { maxTurnMinutes?: number } = (await turnLengthsOn(db, today)) ?? {}
    const { minTurnMinutes, changeoverMinutes, maxTurnMinutes } = { ...TURN_RULES, maxTurnMinutes: '', ...held }
    const shown = { shortestMinutes: String(minTurnMinutes), longestMinutes: String(maxTurnMinutes) }
    return show(request, reply, emptyForm({ ...shown, changeoverMinutes: String(changeoverMinutes), fromOn: today }))
  })

  app.post('/turn-lengths', { preHandler: may('works.describe') }, async (request, reply) => {
    const form = readForm(LengthForm, request.body)
    if (!form.ok) return show(request, reply, form)
    const { shortestMinutes, longestMinutes } = form.data
    if (longestMinutes !== null && longestMinutes < shortestMinutes) {
      return show(request, reply, withError(form, 'longestMinutes', 'turns.length-crossed'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setTurnLengths(pen, form.data),
      () => '/turns/turn-grounds',
    )
  })
}

function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'turns.length-title',
      intro: ['turns.length-intro'],
      form: LengthForm,
      filled,
      action: '/turns/turn-lengths',
      back: '/turns/turn-grounds',
    },
  )
}
