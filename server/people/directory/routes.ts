import type { Id } from '../../../domain/id.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { phoneSeen } from '../person/phone-state.ts'
import { allRoles, findPerson, listPersons, rolesOf } from '../person/store.ts'
import { listPlots, type Plot } from '../plot/store.ts'

/** Who and what there is: everybody with roles and plots, every plot, pump and outlet; and one person with all that is theirs. */
export function addDirectoryPages({ get }: Pages): void {
  get('/', 'people.see', showEverybody)
  get('/persons/:id', 'people.see', showPerson)
}

async function showEverybody(desk: Desk) {
  const { db, today, parts } = desk
  const roles = await allRoles(db, today)
  const plots = await listPlots(db, today)
  const outlets = await parts.people.outletsOn(db, today)
  return page(desk, 'people/people', {
    title: 'people.title',
    persons: (await listPersons(db)).map((person) => ({
      ...person,
      roles: roles.get(person.id) ?? [],
      plots: heldBy(plots, person.id),
    })),
    plots: plots.map((plot) => ({ ...plot, outlets: outlets.filter(({ id }) => plot.outletIds.includes(id)) })),
    pumps: (await parts.people.pumpsOn(db, today)).map((pump) => ({
      ...pump,
      outlets: outlets.filter(({ pumpId }) => pumpId === pump.id),
    })),
  })
}

async function showPerson(desk: Desk<'id'>) {
  const { db, today, params } = desk
  const person = found(await findPerson(db, params.id))
  return page(desk, 'people/person', {
    title: 'people.person.heading',
    titleValues: { number: person.number, name: person.name },
    shown: {
      ...person,
      ...(await phoneSeen(desk, person.id)),
      roles: await rolesOf(db, person.id, today),
      plots: heldBy(await listPlots(db, today), person.id),
    },
  })
}

function heldBy(plots: readonly Plot[], personId: Id<'person'>): Plot[] {
  return plots.filter(({ holders }) => holders.some(({ id }) => id === personId))
}
