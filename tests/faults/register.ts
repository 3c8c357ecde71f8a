import type { Database } from '../../server/database/connection.ts'
import { OWN_GROUP } from '../support/book.ts'
import { type Fields, Visitor } from '../support/visitor.ts'
import type { Running } from './process.ts'

/** Starts the group's book on a running server and gives its first committee member, signed in. */
export async function beginBook({ port, read }: Running): Promise<Visitor> {
  const code = await read(/asks for this code: (\S+)/)
  const ada = new Visitor(`http://127.0.0.1:${port}`)
  const page = await ada.fill('/start', { ...OWN_GROUP, code })
  if (page.path !== '/') throw new Error(`the book was not started: ${page.words}`)
  return ada
}

/** Forms that write in one person each: a person, its role and its account, three entries that stand or fall together. */
export async function personForms(ada: Visitor, count: number): Promise<Fields[]> {
  const page = await ada.open('/people/new')
  const csrf = page.html.querySelector('main form [name=_csrf]')!.getAttribute('value')!
  return Array.from({ length: count }, (_, at) => ({
    _csrf: csrf,
    _form: `form-key-${at}`,
    number: String(at + 2),
    name: `Person ${at + 2}`,
    phone: '',
    roles: ['member'],
    signInName: '',
    password: '',
  }))
}

/** What the server answered: where it sent the visitor, or null when there was no answer any more. */
export async function post(ada: Visitor, form: Fields): Promise<{ status: number; location: string } | null> {
  try {
    const { status, headers } = await ada.agent.post('/people/new').type('form').send(form)
    return { status, location: headers.location as string }
  } catch {
    return null
  }
}

export interface Written {
  formKey: string | null
  roles: number
  accounts: number
}

/** Every person of the book that came by a form, with what hangs on it. */
export async function writtenPersons(db: Database): Promise<Written[]> {
  const persons = await db
    .selectFrom('person')
    .innerJoin('entry', 'entry.id', 'person.entryId')
    .select(['person.entryId as id', 'formKey'])
    .where('number', '>', 1)
    .execute()
  const roles = await db.selectFrom('personRole').select('personId as id').execute()
  const accounts = await db.selectFrom('account').select('personId as id').execute()
  const countOf = (rows: { id: string | null }[], id: string) => rows.filter((row) => row.id === id).length
  return persons.map(({ id, formKey }) => ({ formKey, roles: countOf(roles, id), accounts: countOf(accounts, id) }))
}
