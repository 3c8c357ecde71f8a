import type { Desk } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { findPerson, type Person } from './store.ts'

/** Whom an act is about that everybody does for themselves, and the committee for anybody: a mark, a language. */
export async function oneselfOrAnybody({ db, params, person, may }: Desk<'id'>): Promise<Person> {
  if (params.id !== person.id && !may('people.register')) throw new PageError(403, 'error.page-403')
  return found(await findPerson(db, params.id))
}
