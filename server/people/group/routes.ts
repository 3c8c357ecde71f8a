import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { GroupForm } from '../forms.ts'
import { groupOfInput, groupProblem, inputOfGroup } from './input.ts'
import { currentGroup, setGroup } from './store.ts'

export function addGroupRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/group/settings/new', { preHandler: may('group.set') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    return showGroup(request, reply, emptyForm(inputOfGroup(group)))
  })

  app.post('/group/settings', { preHandler: may('group.set') }, async (request, reply) => {
    const form = readForm(GroupForm, request.body)
    if (!form.ok) return showGroup(request, reply, form)
    const problem = groupProblem(form.data, form)
    if (problem) return showGroup(request, reply, problem)
    return write(
      { db, request, reply, at: now() },
      (pen) => setGroup(pen, groupOfInput(form.data), request.visit.today),
      () => '/people',
    )
  })
}

function showGroup(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'people.group.title',
      form: GroupForm,
      filled,
      action: '/people/group/settings',
      back: '/people',
    },
  )
}
