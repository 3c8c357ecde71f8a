import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { longList } from '../../web/pages/long-list.ts'

import { plotOption } from '../plots.ts'
import { HouseholdForm } from './forms.ts'
import { householdsOn, setHousehold } from './household-store.ts'

/** How many people live from each plot, for a rule that counts them. */
export function addHouseholdPages({ get, post }: Pages): void {
  get('/turns/settle/people-of-plot', 'rule.set', newHousehold)
  post('/turns/settle/people-of-plot', 'rule.set', writeHousehold)
}

/** How many live from each plot, as lines that lead to the form. */
export function peopleOfPlots(
  desk: Desk,
  plots: readonly Plot[],
  households: Awaited<ReturnType<typeof householdsOn>>,
) {
  const { t, format } = desk
  return longList(
    desk,
    plots.map(({ id, number, name, holders }) => {
      const household = households.get(id)
      const since = household && t('sharing-rule.household.since', { date: format.date(household.fromOn) })
      return {
        at: number,
        plotId: id,
        words: holders.map((holder) => holder.name).join(', '),
        small: [name, since].filter(Boolean).join(', '),
        figure: household ? format.whole(household.persons) : '–',
        under: household ? undefined : t('sharing-rule.household.unknown'),
        href: desk.may('rule.set') ? `/turns/settle/people-of-plot?plotId=${id}` : undefined,
        isOwn: holders.some((holder) => holder.id === desk.person.id),
      }
    }),
  )
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
    () => '/turns/rule?open=people#people',
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
    back: '/turns/rule?open=people#people',
  })
}
