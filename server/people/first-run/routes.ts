import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Group } from '../../../domain/people/group.ts'
import { newId, type Pen } from '../../book/entries.ts'
import { formOf } from '../../book/pen.ts'
import { openGroupAccounts, openMemberAccount } from '../../fees/ledger/account-store.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { localDate, SESSION_COOKIE } from '../../web/pages/visit.ts'
import { StartForm } from '../forms.ts'
import { groupOfInput, groupProblem } from '../group/input.ts'
import { bookIsEmpty, setGroup } from '../group/store.ts'
import { hashPassword } from '../password.ts'
import { addPerson, type NewPerson } from '../person/store.ts'
import { startSession } from '../session/store.ts'

/** The first page of an empty book, and the form that starts one. */
export function addFirstRunRoutes(app: FastifyInstance, parts: Parts): void {
  const { db, now } = parts

  app.get('/book/new', async (request, reply) => {
    await onlyWhileEmpty()
    return showStart(request, reply, emptyForm({ firstWeekday: '1' }))
  })

  app.post('/book', { config: { rateLimit: { max: 20, timeWindow: '5 minutes' } } }, async (request, reply) => {
    await onlyWhileEmpty()
    const form = readForm(StartForm, request.body)
    if (!form.ok) return showStart(request, reply, form)
    if (form.data.code !== parts.claimCode) {
      return showStart(request, reply, withError(form, 'code', 'people.group.code-wrong'))
    }
    const problem = groupProblem(form.data, form)
    if (problem) return showStart(request, reply, problem)
    const passwordHash = await hashPassword(form.data.password, parts.hashing)
    const { personName, signInName } = form.data
    const id = await startBook(
      parts,
      groupOfInput(form.data),
      {
        number: 1,
        name: personName,
        phone: null,
        signInName,
        roles: ['committee', 'member'],
        passwordHash,
      },
      formOf(request, () => '/'),
    )
    const key = await startSession(db, { personId: id, at: now(), isShared: false })
    reply.setCookie(SESSION_COOKIE, key, { path: '/', httpOnly: true, sameSite: 'lax' })
    return reply.redirect('/', 303)
  })

  async function onlyWhileEmpty() {
    if (!(await bookIsEmpty(db))) throw new PageError(409, 'people.group.already-started')
  }
}

export async function showFirstPage(request: FastifyRequest, reply: FastifyReply) {
  return page({ request, reply }, 'people/first-run/first', { title: 'people.first.title' })
}

function showStart(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'people.group.start-title',
      form: StartForm,
      filled,
      action: '/book',
      submit: 'people.group.start-submit',
      intro: ['people.group.start-intro'],
      back: '/',
    },
  )
}

/** Creates the group, its accounts and its first committee member in one transaction; that member writes it all. */
export async function startBook(
  { db, now }: Pick<Parts, 'db' | 'now'>,
  group: Group,
  first: NewPerson,
  form?: Pen['form'],
): Promise<string> {
  const at = now()
  const id = newId()
  await db.transaction().execute(async (trx) => {
    const pen: Pen = { trx, writtenBy: id, writtenAt: at.toISOString(), form }
    if (!(await bookIsEmpty(trx))) throw new PageError(409, 'people.group.already-started')
    const today = localDate(at, group.timeZone)
    await setGroup(pen, group, today)
    await openGroupAccounts(pen)
    await addPerson(pen, first, today, id)
    await openMemberAccount(pen, id)
  })
  return id
}
