import { least } from 'd3-array'
import { isCalendarDate } from '../../../domain/calendar.ts'
import type { comparedWeek } from '../../../domain/rotation/draft/compare-week.ts'
import { RULE_NAMES, type RuleName } from '../../../domain/rotation/rule/compare.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { isWeekOver } from '../../../domain/weeks.ts'
import { write } from '../../book/pen.ts'
import { reckoned } from '../../reckoner/reckoner.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { type ShownWeek, shownWeek } from '../week/view.ts'
import { droughtCaps, weekValues } from '../week/words.ts'
import { chooseWeekRule } from './compare-store.ts'
import { ChoiceForm } from './forms.ts'

/** The same week under four rules, name by name, and the committee's choice among them. */
export function addComparisonPages({ get, post }: Pages): void {
  get('/turns/weeks/:start/compare', 'turns.see', showComparison)
  post('/turns/weeks/:start/compare', 'week.publish', writeChoice)
}

async function showComparison(desk: Desk<'start'>) {
  return show(desk, await comparable(desk), null)
}

async function writeChoice(desk: Desk<'start'>) {
  const week = await comparable(desk)
  const { weekStartOn } = week.inputs
  if (week.published) throw new PageError(409, 'rotation.already-published')
  if (isWeekOver(weekStartOn, desk.group, desk.today)) throw new PageError(409, 'rotation.week-over')
  const form = readForm(ChoiceForm, desk.body)
  if (!form.ok) return show(desk, week, form)
  const { rule, reason } = form.data
  return write(
    desk,
    (pen) => chooseWeekRule(pen, { weekStartOn, rule, reason }),
    () => `/turns/weeks/${weekStartOn}/compare`,
  )
}

async function comparable({ db, group, today, params, parts }: Desk<'start'>): Promise<ShownWeek> {
  found(isCalendarDate(params.start) || undefined)
  const week = await shownWeek(db, parts.rotation, { group, weekStartOn: params.start, today })
  if (!week) throw new PageError(409, 'rotation.no-rule')
  return week
}

async function show(desk: Desk, { inputs, published }: ShownWeek, filled: Filled | null) {
  if (filled) desk.reply.code(422)
  const { weekStartOn, choice, drought, plots } = inputs
  const compared = await reckoned('rules compared', inputs)
  return page(desk, 'rotation/rule/compare', {
    title: 'sharing-rule.comparison.title',
    titleValues: weekValues(desk, weekStartOn),
    weekStartOn,
    published: published !== null,
    over: isWeekOver(weekStartOn, desk.group, desk.today),
    choice,
    drought,
    caps: droughtCaps(drought),
    names: RULE_NAMES,
    others: RULE_NAMES.filter((name) => name !== 'evening-out'),
    ...compared,
    rows: rowsInSheets(
      desk,
      'plots',
      compared.rows
        .map((row) => ({ ...row, plot: plots.find((plot) => plot.id === row.plotId)! }))
        .sort((a, b) => a.plot.number - b.plot.number),
    ),
    worst: RULE_NAMES.flatMap((name) => worstOff(desk, inputs, compared.rows, name) ?? []),
    form: ChoiceForm,
    filled: filled ?? emptyForm({ rule: choice?.rule ?? 'evening-out', reason: '' }),
    action: `/turns/weeks/${weekStartOn}/compare`,
  })
}

/** A rule in one bar: the part of its need that the plot gets which comes off worst, and how many plots get all of theirs. */
function worstOff(
  { t, format }: Desk,
  { plots }: WeekInputs,
  rows: ReturnType<typeof comparedWeek>['rows'],
  name: RuleName,
) {
  const parts = rows
    .filter(({ needM3 }) => needM3 > 0)
    .map(({ plotId, needM3, allocatedM3 }) => ({ plotId, part: Math.min(1, allocatedM3[name] / needM3) }))
  const worst = least(parts, ({ part }) => part)
  if (!worst) return null
  const number = plots.find(({ id }) => id === worst.plotId)?.number ?? ''
  const count = parts.filter(({ part }) => part > 0.995).length
  return {
    name: t(`sharing-rule.comparison.${name}`),
    under: t('sharing-rule.comparison.worst-under', { number, count }),
    outline: 100,
    full: 100 * worst.part,
    figure: format.percent(worst.part),
  }
}
