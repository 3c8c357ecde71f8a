import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import { openMemberAccount } from '../../fees/ledger/account-store.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { SESSION_COOKIE } from '../../web/pages/visit.ts'
import { listOutlets, listPumps } from '../../works/pump/store.ts'
import { PasswordForm, PersonForm, RolesForm } from '../forms.ts'
import { hashPassword, passwordFits } from '../password.ts'
import { listPlots } from '../plot/store.ts'
import { endOtherSessions } from '../session/store.ts'
import {
  addPerson,
  allRoles,
  findPerson,
  listPersons,
  nextPersonNumber,
  passwordHashOf,
  rolesOf,
  setPassword,
  setRoles,
} from './store.ts'

type WithId = { Params: { id: string } }

export function addPersonRoutes(app: FastifyInstance, { db, now, hashing }: Parts): void {
  app.get('/', { preHandler: may('people.see') }, async (request, reply) => {
    const { today } = request.visit
    const [persons, roles, plots] = [await listPersons(db), await allRoles(db, today), await listPlots(db, today)]
    const [pumps, outlets] = [await listPumps(db, today), await listOutlets(db, today)]
    const plotsOf = (id: string) => plots.filter((plot) => plot.holders.some((holder) => holder.id === id))
    const rows = persons.map((person) => ({ ...person, roles: roles.get(person.id) ?? [], plots: plotsOf(person.id) }))
    return page({ request, reply }, 'people/people', { title: 'people.title', persons: rows, plots, pumps, outlets })
  })

  app.get('/persons/new', { preHandler: may('people.register') }, async (request, reply) =>
    showPerson(request, reply, emptyForm({ number: String(await nextPersonNumber(db)), roles: ['member'] })),
  )

  app.post('/persons', { preHandler: may('people.register') }, async (request, reply) => {
    const form = readForm(PersonForm, request.body)
    if (!form.ok) return showPerson(request, reply, form)
    const { number, name, phone, roles, signInName, password } = form.data
    const others = await listPersons(db)
    if (others.some((other) => other.number === number)) {
      return showPerson(request, reply, withError(form, 'number', 'people.number-taken', { number }))
    }
    if (signInName && others.some((other) => other.signInName === signInName)) {
      return showPerson(request, reply, withError(form, 'signInName', 'people.person.sign-in-name-taken'))
    }
    if ((signInName === null) !== (password === null)) {
      const field = signInName === null ? 'signInName' : 'password'
      return showPerson(request, reply, withError(form, field, 'people.person.sign-in-halves'))
    }
    const passwordHash = password ? await hashPassword(password, hashing) : null
    const person = { number, name, phone, signInName, roles, passwordHash }
    return write(
      { db, request, reply, at: now() },
      async (pen) => openMemberAccount(pen, await addPerson(pen, person, request.visit.today)),
      (id) => `/people/persons/${id}`,
    )
  })

  app.get<WithId>('/persons/:id', { preHandler: may('people.see') }, async (request, reply) => {
    const person = found(await findPerson(db, request.params.id))
    const { today } = request.visit
    const plots = (await listPlots(db, today)).filter((plot) => plot.holders.some((one) => one.id === person.id))
    return page({ request, reply }, 'people/person', {
      title: 'people.person.heading',
      titleValues: { number: person.number, name: person.name },
      shown: { ...person, roles: await rolesOf(db, person.id, today), plots },
    })
  })

  app.get<WithId>('/persons/:id/roles/new', { preHandler: may('people.register') }, async (request, reply) => {
    const person = found(await findPerson(db, request.params.id))
    const roles = await rolesOf(db, person.id, request.visit.today)
    return showRoles(request, reply, person, emptyForm({ roles, fromOn: request.visit.today }))
  })

  app.post<WithId>('/persons/:id/roles', { preHandler: may('people.register') }, async (request, reply) => {
    const person = found(await findPerson(db, request.params.id))
    const form = readForm(RolesForm, request.body)
    if (!form.ok) return showRoles(request, reply, person, form)
    if (person.id === request.person?.id && !form.data.roles.includes('committee')) {
      return showRoles(request, reply, person, withError(form, 'roles', 'people.roles.own-committee'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setRoles(pen, person.id, form.data.roles, form.data.fromOn),
      () => `/people/persons/${person.id}`,
    )
  })

  app.get('/passwords/new', { preHandler: may('people.see') }, async (request, reply) =>
    showPassword(request, reply, emptyForm()),
  )

  const changing = { preHandler: may('people.see'), config: { rateLimit: { max: 30, timeWindow: '5 minutes' } } }
  app.post('/passwords', changing, async (request, reply) => {
    const form = readForm(PasswordForm, request.body)
    if (!form.ok) return showPassword(request, reply, form)
    const id = request.person!.id
    const old = await passwordHashOf(db, id)
    if (!old || !(await passwordFits(old, form.data.oldPassword))) {
      return showPassword(request, reply, withError(form, 'oldPassword', 'people.password.wrong-old'))
    }
    const hash = await hashPassword(form.data.password, hashing)
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        await setPassword(pen, id, hash)
        await endOtherSessions(pen.trx, { personId: id, key: request.cookies[SESSION_COOKIE] ?? '' })
      },
      () => `/people/persons/${id}`,
    )
  })
}

function showPerson(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  const shown = { title: 'people.person.title', form: PersonForm, filled, action: '/people/persons', back: '/people' }
  return formPage({ request, reply }, { ...shown, intro: ['people.person.intro'] })
}

function showRoles(request: FastifyRequest, reply: FastifyReply, person: { id: string; name: string }, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'people.roles.title',
      titleValues: { name: person.name },
      form: RolesForm,
      filled,
      action: `/people/persons/${person.id}/roles`,
      back: `/people/persons/${person.id}`,
    },
  )
}

function showPassword(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  const shown = {
    title: 'people.password.title',
    form: PasswordForm,
    filled,
    action: '/people/passwords',
    back: '/people',
  }
  return formPage({ request, reply }, { ...shown, intro: ['people.password.intro'] })
}
