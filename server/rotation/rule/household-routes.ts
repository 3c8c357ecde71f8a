import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { type ListLine, longList } from '../../web/pages/long-list.ts'
import { page } from '../../web/pages/page.ts'
import { plotOption } from '../plots.ts'
import { HouseholdForm } from './forms.ts'
import { householdsOn, setHousehold } from './household-store.ts'

/** How many people live from each plot, for a rule that counts them. */
export function addHouseholdPages({ get, post }: Pages): void {
  get('/turns/rule?as=people', 'turns.see', showHouseholds)
  get('/turns/settle/people-of-plot', 'rule.set', newHousehold)
  post('/turns/settle/people-of-plot', 'rule.set', writeHousehold)
}

async function showHouseholds(desk: Desk) {
  const { db, today } = desk
  const households = await householdsOn(db, today)
  const plots = await listPlots(db, today)
  return page(desk, 'rotation/rule/households', {
    title: 'sharing-rule.household.list-title',
    list: longList(
      desk,
      plots.map(({ id, number, name, holders }): ListLine => {
        const household = households.get(id)
        return {
          at: number,
          plotId: id,
          words: holders.map((holder) => holder.name).join(', '),
          small: [
            name,
            household && desk.t('sharing-rule.household.since', { date: desk.format.date(household.fromOn) }),
          ]
            .filter(Boolean)
            .join(', '),
          figure: household ? desk.format.whole(household.persons) : '–',
          under: household ? undefined : desk.t('sharing-rule.household.unknown'),
          href: desk.may('rule.set') ? `/turns/settle/people-of-plot?plotId=${id}` : undefined,
          isOwn: holders.some((holder) => holder.id === desk.person.id),
        }
      }),
    ),
  })
}

async function newHousehold(desk: Desk) {
  return show(desk, emptyForm({ plotId: desk.query.plotId ?? '', fromOn: desk.today }))
}

async function writeHousehold(desk: Desk) {
  const { db, today } = desk
  const form = readForm(HouseholdForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { plotId, fromOn } = form.data
  const plot = (await listPlots(db, today)).find(({ id }) => id === plotId)
  if (!plot) return show(desk, withError(form, 'plotId', 'error.choose'))
  if (
    await isOwnMatter(
      desk,
      plot.holders.map(({ id }) => id),
    )
  )
    return show(desk, withError(form, 'plotId', 'names.own-matter'))
  if (fromOn < today && (await householdsOn(db, today)).has(plotId)) {
    return show(desk, withError(form, 'fromOn', 'sharing-rule.household.past'))
  }
  return write(
    desk,
    (pen) => setHousehold(pen, form.data),
    () => '/turns/rule?as=people',
  )
}

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'sharing-rule.household.title',
    form: HouseholdForm,
    filled,
    options: { plotId: (await listPlots(desk.db, desk.today)).map(plotOption) },
    action: '/turns/settle/people-of-plot',
    intro: ['sharing-rule.household.intro'],
    back: '/turns/rule?as=people',
  })
}
