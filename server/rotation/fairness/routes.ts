import type { Id } from '../../../domain/id.ts'
import { BURDENS } from '../../../domain/rotation/timetable/burdens.ts'
import type { M3 } from '../../../domain/units.ts'
import { write } from '../../book/pen.ts'
import { listPersons } from '../../people/person/store.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { isHeldBy } from '../plots.ts'
import { HolderGroupForm } from './forms.ts'
import { holderGroupsOn, setHolderGroups } from './group-store.ts'
import { addLineSharingPages } from './line-routes.ts'
import { type FairSeason, fairSeason } from './season-state.ts'

/** Is it fair? Received against entitled, with the published measures, and every figure opened. */
export function addFairnessPages(pages: Pages): void {
  const { get, post } = pages
  get('/turns/fair', 'turns.see', showFairness)
  get('/turns/working/fair/:id', 'turns.see', showPlotWorking)
  get('/turns/working/measures', 'turns.see', showMeasures)
  get('/people/settle/groups', 'people.register', newHolderGroups)
  post('/people/settle/groups', 'people.register', writeHolderGroups)
  addLineSharingPages(pages)
}

async function showFairness(desk: Desk) {
  const season = await seasonOf(desk)
  const { fairness } = season
  const plots = new Map(season.plots.map((plot) => [plot.id, plot]))
  const weirs = new Map(season.weirs.map((weir) => [weir.id, weir]))
  const houses = fairness.plots.map((line) => ({ ...line, plot: plots.get(line.plotId)! }))
  // One's own plots, and those whose difference is more than the error of its figures, stand above the rest.
  const isFirst = ({ plot, difference }: (typeof houses)[number]) =>
    isHeldBy(plot, desk.person.id) || Boolean(difference && difference !== 'none')
  const burdens = season.plots.map((plot) => ({ plot, counts: season.burdens[plot.id] ?? {} }))
  const isBurdened = ({ counts }: (typeof burdens)[number]) => BURDENS.some((name) => counts[name])
  return page(desk, 'rotation/fairness/page', {
    title: 'fairness.title',
    fairness,
    byLine: fairness.byLine.map((line) => ({ ...withBar(line), name: desk.t(`fairness.place-${line.name}`) })),
    byGroup: fairness.byGroup.map(withBar),
    count: season.weeks.length,
    until: season.weeks.at(-1)?.weekStartOn ?? null,
    houses: houses.filter(isFirst),
    otherHouses: rowsInSheets(
      desk,
      'houses',
      houses.filter((line) => !isFirst(line)),
    ),
    byWeir: fairness.byWeir.map((line) => ({ ...withBar(line), name: weirs.get(line.name)?.name ?? '' })),
    burdenNames: BURDENS,
    wishes: season.wishes,
    untyped: season.untyped,
    burdens: rowsInSheets(desk, 'burdens', burdens.filter(isBurdened)),
    withoutBurdens: burdens
      .filter((line) => !isBurdened(line))
      .map(({ plot }) => plot.number)
      .join(', '),
  })
}

/** A bar is drawn to a fifth beyond the whole part, so that whoever has more shows too. */
function withBar<Line extends { level: number | null }>(line: Line) {
  return { ...line, barWidth: Math.min(120, Math.round((line.level ?? 0) * 100)) }
}

async function showPlotWorking(desk: Desk<'id'>) {
  const { t, format } = desk
  const season = await seasonOf(desk)
  const plot = found(season.plots.find((one) => one.id === desk.params.id))
  const line = found(season.fairness.plots.find((one) => one.plotId === plot.id))
  const one = (volumeM3: M3) => format.one(volumeM3)
  return workingPage(desk, {
    title: 'fairness.plot-title',
    titleValues: { number: plot.number, name: plot.name },
    result: t('fairness.plot-result', { received: one(line.receivedM3), entitled: one(line.entitledM3) }),
    doubt: t('fairness.plot-doubt', { estimated: one(line.estimatedM3), error: one(line.uncertaintyM3) }),
    lines: weekLines(desk, season, plot.id),
    equation: t('fairness.plot-equation'),
    source: t('fairness.plot-source'),
    back: '/turns/fair',
  })
}

/** The weeks in which a plot was entitled to water or received some. */
function weekLines({ t, format }: Desk, { weeks }: FairSeason, plotId: Id<'plot'>) {
  const m3 = (volumeM3 = 0) => `${format.one(volumeM3)} ${t('layout.unit-m3')}`
  return weeks
    .filter((week) => plotId in week.entitledM3 || plotId in week.receivedM3)
    .map(({ weekStartOn, receivedM3, entitledM3 }) => ({
      label: t('fairness.week', { start: format.date(weekStartOn) }),
      value: t('fairness.of', { received: m3(receivedM3[plotId]), entitled: m3(entitledM3[plotId]) }),
      href: `/turns/working/why/${weekStartOn}/${plotId}`,
    }))
}

async function showMeasures(desk: Desk) {
  const { t, format } = desk
  const { fairness, weeks } = await seasonOf(desk)
  const { adequacy, equity, dependability, jain, gini } = fairness.indicators
  const two = (value: number | null) => (value === null ? '–' : format.two(value))
  const both = ({ population, sample }: typeof equity) => `${two(population.value)} (${two(sample.value)})`
  return workingPage(desk, {
    title: 'fairness.measures-title',
    result: t('fairness.measures-result', { weeks: weeks.length, plots: fairness.plots.length }),
    doubt: t('fairness.measures-doubt'),
    lines: [
      { label: t('fairness.measure-adequacy'), value: two(adequacy.value) },
      { label: t('fairness.measure-dependability'), value: both(dependability) },
      { label: t('fairness.measure-equity'), value: both(equity) },
      { label: t('fairness.measure-jain'), value: two(jain) },
      { label: t('fairness.measure-gini'), value: two(gini?.value ?? null) },
    ],
    equation: t('fairness.measures-equation'),
    source: t('fairness.measures-source'),
    back: '/turns/fair',
  })
}

async function newHolderGroups(desk: Desk) {
  return showGroups(desk, emptyForm({ fromOn: desk.today }))
}

async function writeHolderGroups(desk: Desk) {
  const form = readForm(HolderGroupForm, desk.body)
  if (!form.ok) return showGroups(desk, form)
  const { personId, fromOn } = form.data
  if (!(await listPersons(desk.db)).some((person) => person.id === personId)) {
    return showGroups(desk, withError(form, 'personId', 'error.choose'))
  }
  const names = new Set((form.data.names ?? '').split(',').map((name) => name.trim()))
  names.delete('')
  return write(
    desk,
    (pen) => setHolderGroups(pen, { personId, fromOn, names: [...names] }),
    () => '/turns/fair',
  )
}

function seasonOf({ db, group, today, parts }: Desk): Promise<FairSeason> {
  return fairSeason(db, parts.rotation, group, today)
}

async function showGroups(desk: Desk, filled: Filled) {
  const groups = await holderGroupsOn(desk.db, desk.today)
  const named = (person: { id: string; number: number; name: string }) =>
    [`${person.number} ${person.name}`, (groups.get(person.id) ?? []).join(', ')].filter(Boolean).join(': ')
  const persons = await listPersons(desk.db)
  return formPage(desk, {
    title: 'fairness.holder-group-title',
    form: HolderGroupForm,
    filled,
    options: { personId: persons.map((person) => ({ value: person.id, label: named(person) })) },
    action: '/people/settle/groups',
    intro: ['fairness.holder-group-intro'],
    back: '/turns/fair',
  })
}
