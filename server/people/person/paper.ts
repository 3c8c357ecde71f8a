import { someOf } from '../../web/forms/forms.ts'
import { type ManyList, numberedRows } from '../../web/pages/many.ts'
import { PersonForm } from './forms.ts'
import { addPerson, listPersons } from './store.ts'

const PeopleLines = someOf(PersonForm, ['number', 'name', 'phone', 'roles'])

/** People as the set-up sheet has them; whoever has no office is a member, and sign-ins are given one by one. */
export const peopleList: ManyList = {
  name: 'people',
  permission: 'people.register',
  form: PeopleLines,
  rows: async ({ db, today, parts }) =>
    numberedRows({
      form: PeopleLines,
      known: await listPersons(db),
      usual: { roles: ['member'] },
      write: async (pen, { number, name, phone, roles }) => {
        const withOffice = [...new Set([...roles, ...(roles.includes('neighbour') ? [] : ['member'])])]
        const person = { number, name, phone, roles: withOffice, signInName: null, passwordHash: null }
        return parts.people.openMemberAccount(pen, await addPerson(pen, person, today))
      },
    }),
}
