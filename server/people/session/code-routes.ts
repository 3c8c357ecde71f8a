import { latinDigits } from '../../../domain/digits.ts'
import type { Id } from '../../../domain/id.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { readCookie } from '../../web/pages/cookies.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { isRegistered } from '../device/store.ts'
import { hashPassword } from '../password.ts'
import { findPerson, listPersons, type Person } from '../person/store.ts'
import { canBeHeard, sendSpoken } from '../voice/state.ts'
import { isOwnPassword, letIn } from './at-the-door.ts'
import { personsWithCode, setCode, tryCode } from './code-store.ts'
import { tellTry } from './door-store.ts'
import { CodeForm, OwnCodeForm } from './forms.ts'
import { keptOf } from './kept-store.ts'

/** A code of one's own, set after the password, and signing in with it on a device of the group. */
export function addCodePages({ get, post }: Pages): void {
  get('/people/settle/code', 'people.see', (desk) => showOwn(desk, emptyForm()))
  post('/people/settle/code', 'people.see', writeOwn)
}

/** Before anybody is known: the code of whoever tapped the mark. */
export function addCodeEntrance({ get, post }: Pages): void {
  get('/sign-in/:id', 'anybody', newSession)
  get('/sign-in/:id.wav', 'anybody', sendTurn)
  post('/sign-in/:id', 'anybody', beginSession)
}

async function writeOwn(desk: Desk) {
  const { db, person, parts, at, reply } = desk
  const form = readForm(OwnCodeForm, desk.body)
  if (!form.ok) return showOwn(desk, form)
  const code = latinDigits(form.data.code)
  if (!/^\d{6}$/.test(code)) return showOwn(desk, withError(form, 'code', 'people.own-code.six'))
  if (isPlain(code)) return showOwn(desk, withError(form, 'code', 'people.own-code.plain'))
  if (!(await isOwnPassword(desk, form.data.oldPassword))) {
    return showOwn(desk, withError(form, 'oldPassword', 'people.password.wrong-old'))
  }
  await setCode(db, { personId: person.id, codeHash: await hashPassword(code, parts.hashing), at })
  return reply.redirect(`/people/${person.id}`, 303)
}

/** One digit six times, or digits in a row: what everybody tries first. */
function isPlain(code: string): boolean {
  const steps = new Set([...code].slice(1).map((digit, at) => Number(digit) - Number(code[at])))
  const [step] = steps
  return steps.size === 1 && Math.abs(step!) <= 1
}

async function newSession(desk: Desk<'id'>) {
  if (!(await isOnDevice(desk))) return desk.reply.redirect('/sign-in', 303)
  const person = await personWithCode(desk)
  return person ? showCode(desk, person, emptyForm()) : desk.reply.redirect('/sign-in', 303)
}

async function beginSession(desk: Desk<'id'>) {
  const { db, request, reply } = desk
  if (!(await isOnDevice(desk))) throw new PageError(401, 'people.code.not-here')
  const person = await personWithCode(desk)
  if (!person) throw new PageError(404, 'error.page-404')
  const form = readForm(CodeForm, desk.body)
  if (!form.ok) return showCode(desk, person, form)
  const result = await tryCode(db, person.id, latinDigits(form.data.code))
  if (result !== 'fits') await tellTry(db, { kind: `code-${result}`, personId: person.id, request })
  if (result !== 'fits') return showCode(desk, person, withError(form, 'code', `people.code.${result}`))
  await letIn(desk, { personId: person.id, isShared: true })
  const kept = await keptOf(db, person.id)
  return reply.redirect(kept.length > 0 ? '/people/kept' : '/', 303)
}

/** Whether the device in hand was registered by two officers. */
async function isOnDevice({ db, request }: Pick<Desk, 'db' | 'request'>): Promise<boolean> {
  return isRegistered(db, readCookie(request, 'device'))
}

async function personWithCode({ db, params }: Desk<'id'>): Promise<Person | undefined> {
  return (await personsWithCode(db)).has(params.id) ? findPerson(db, params.id) : undefined
}

interface Tapped {
  id: Id<'person'>
  number: number
  name: string
}

/** Whom a registered device shows to be tapped: everybody with a code. None on any other device. */
export async function tappedHere(desk: Desk): Promise<Tapped[]> {
  if (!(await isOnDevice(desk))) return []
  const coded = await personsWithCode(desk.db)
  const persons = await listPersons(desk.db)
  return persons.filter(({ id }) => coded.has(id)).map(({ id, number, name }) => ({ id, number, name }))
}

function showOwn(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.own-code.title',
    form: OwnCodeForm,
    filled,
    action: '/people/settle/code',
    intro: ['people.own-code.intro'],
    back: '/people',
  })
}

/** Whoever tapped a mark hears its next turn, which stands on the board for all; what is owed comes after the code. */
async function showCode(desk: Desk, person: Person, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const sayings = await desk.parts.people.nextTurnSaid(desk, person.id)
  const isHeard = sayings.length > 0 && (await canBeHeard(desk, sayings))
  return page(desk, 'people/session/code', {
    title: 'people.code.title',
    titleValues: { number: person.number, name: person.name },
    tapped: person,
    hear: isHeard ? { src: `/sign-in/${person.id}.wav`, label: 'voice.listen-turn' } : null,
    form: CodeForm,
    filled,
    action: `/sign-in/${person.id}`,
    submit: 'people.sign-in.submit',
    back: '/sign-in',
  })
}

async function sendTurn(desk: Desk<'id'>) {
  const person = (await isOnDevice(desk)) ? await personWithCode(desk) : undefined
  if (!person) throw new PageError(404, 'error.page-404')
  return sendSpoken(desk, await desk.parts.people.nextTurnSaid(desk, person.id))
}
