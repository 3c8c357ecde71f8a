import { isOffice, ROLES } from '../../../domain/people/permissions.ts'
import { someOf, withError } from '../../web/forms/forms.ts'
import { AS_TYPED, type ManyList, numberedRows } from '../../web/pages/many.ts'
import { PersonForm } from './forms.ts'
import { listPersons } from './store.ts'
import { officeTrouble, writeIn } from './written-in.ts'

const PeopleLines = someOf(PersonForm, ['number', 'name', 'phone', 'roles'])

/** People as the set-up sheet has them; whoever has no office is a member, and sign-ins are given one by one. */
export const peopleList: ManyList = {
  name: 'people',
  permission: 'people.register',
  form: PeopleLines,
  rows: async (desk) => {
    const trouble = await officeTrouble(desk, ROLES)
    return numberedRows({
      form: PeopleLines,
      known: await listPersons(desk.db),
      usual: { roles: ['member'] },
      check: ({ roles }, form) => (trouble && roles.some(isOffice) ? withError(form, 'roles', trouble) : null),
      make: AS_TYPED,
      write: async (pen, { number, name, phone, roles }) => {
        const withOffice = [...new Set([...roles, ...(roles.includes('neighbour') ? [] : ['member'])])]
        const person = { number, name, phone, roles: withOffice, signInName: null, passwordHash: null }
        return desk.parts.people.openMemberAccount(pen, await writeIn(pen, person, desk.today))
      },
    })
  },
}
