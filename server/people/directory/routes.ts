import type { Id } from '../../../domain/id.ts'
import { householdsOn } from '../../../domain/people/household.ts'
import { hasLeft, leftOn } from '../../book/names/counting.ts'
import { householdFacts } from '../../book/names/household.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import { emptyForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { type ListLine, longList } from '../../web/pages/long-list.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { waitingAbout } from '../person/grave-store.ts'
import { phoneSeen } from '../person/phone-state.ts'
import { allRoles, findPerson, listPersons, type Person, rolesOf } from '../person/store.ts'
import { listPlots, type Plot } from '../plot/store.ts'
import { PasswordForm } from '../session/forms.ts'

/** Who and what there is: everybody with roles and plots, every plot, pump and outlet; and one person with all that is theirs. */
export function addDirectoryPages({ get }: Pages): void {
  get('/people', 'people.see', showEverybody)
  get('/people/:id', 'people.see', showPerson)
}

async function showEverybody(desk: Desk) {
  const { db, today, parts } = desk
  const roles = await allRoles(db, today)
  const plots = await listPlots(db, today)
  const persons = await listPersons(db)
  const outlets = await parts.people.outletsOn(db, today)
  const outletNumber = new Map(outlets.map(({ id, number }) => [id, number]))
  const left = await leftOn(db, today)
  const held = plotsOfHolders(plots)
  const othersOf = othersIn(persons, householdsOn(await householdFacts(db), today))
  return page(desk, 'people/people', {
    title: 'people.title',
    count: { persons: persons.length, plots: plots.length },
    list: longList(
      desk,
      persons.map((person) =>
        personLine(desk, person, {
          roles: roles.get(person.id) ?? [],
          hasLeft: left.has(person.id),
          held: held.get(person.id) ?? [],
          household: othersOf(person.id),
        }),
      ),
    ),
    plots: rowsInSheets(
      desk,
      'plots',
      plots.map((plot) => plotLine(desk, plot, outletNumber)),
    ),
    pumps: (await parts.people.pumpsOn(db, today)).map((pump) => ({
      ...pump,
      outlets: outlets.filter(({ pumpId }) => pumpId === pump.id),
    })),
  })
}

interface Told {
  roles: readonly string[]
  hasLeft: boolean
  held: readonly Plot[]
  household: readonly Person[]
}

function personLine(
  { t, person: visitor }: Desk,
  { id, number, name }: Person,
  { roles, hasLeft, held, household }: Told,
): ListLine {
  const names = household.map((one) => one.name).join(', ')
  const withWords = names === '' ? [] : [t('people.household.small', { names })]
  const figures = {
    figure: held.map((plot) => plot.number).join(', '),
    under: t('people.plots-held', { count: held.length }),
  }
  return {
    at: number,
    personId: id,
    words: name,
    small: [
      ...(hasLeft ? [t('people.person.left')] : []),
      ...roles.map((role) => t(`people.person.roles.${role}`)),
      ...withWords,
    ].join(', '),
    ...(held.length > 0 ? figures : {}),
    href: `/people/${id}`,
    isOwn: id === visitor.id,
  }
}

function plotLine({ t, format, person }: Desk, plot: Plot, outletNumber: ReadonlyMap<string, number>): ListLine {
  const own = plot.outletIds.flatMap((id) => outletNumber.get(id) ?? []).sort((a, b) => a - b)
  return {
    at: plot.number,
    words: plot.name,
    small: plot.holders.map(({ name }) => name).join(', '),
    figure: plot.isAreaKnown
      ? t('people.plot-area', { area: format.whole(plot.areaM2) })
      : t('people.plot.area-unknown'),
    under: t('people.plot-outlets', { count: own.length, outlets: own.join(', ') }),
    href: `/people/plots/${plot.id}`,
    isOwn: plot.holders.some(({ id }) => id === person.id),
  }
}

async function showPerson(desk: Desk<'id'>) {
  const { db, today, params } = desk
  const person = found(await findPerson(db, params.id))
  const othersOf = othersIn(await listPersons(db), householdsOn(await householdFacts(db), today))
  return page(desk, 'people/person', {
    title: 'people.person.heading',
    titleValues: { number: person.number, name: person.name },
    ownPassword: person.id === desk.person.id ? { form: PasswordForm, filled: emptyForm() } : null,
    shown: {
      ...person,
      ...(await phoneSeen(desk, person.id)),
      roles: await rolesOf(db, person.id, today),
      hasLeft: await hasLeft(db, person.id, today),
      matters: await mattersAbout(desk, person.id),
      plots: plotsOfHolders(await listPlots(db, today)).get(person.id) ?? [],
      household: othersOf(person.id),
    },
  })
}

/** What waits for a name about somebody, shown to whoever may put one under it, wrote it, or is concerned. */
async function mattersAbout(desk: Desk, personId: Id<'person'>) {
  const matters = await waitingAbout(desk.db, personId)
  const shown = await Promise.all(matters.map(async (one) => ({ ...one, names: await namesShown(desk, one.id) })))
  return shown.filter(({ names }) => names.waits)
}

/** For each person everybody else of the household, in the order of the list. */
function othersIn(
  persons: readonly Person[],
  householdOf: ReturnType<typeof householdsOn>,
): (id: Id<'person'>) => Person[] {
  const places = new Map(persons.map((person, at) => [person.id, at]))
  return (id) =>
    householdOf([id])
      .flatMap((other) => (other === id ? [] : (places.get(other) ?? [])))
      .sort((a, b) => a - b)
      .map((at) => persons[at]!)
}

/** What each person holds or holds a part of, in the order of the plots. */
function plotsOfHolders(plots: readonly Plot[]): Map<string, Plot[]> {
  const held = new Map<string, Plot[]>()
  for (const plot of plots) for (const { id } of plot.holders) held.set(id, [...(held.get(id) ?? []), plot])
  return held
}
