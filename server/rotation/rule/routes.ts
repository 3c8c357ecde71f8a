import { restingOn } from '../../book/minutes/store.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions, minutesOfActs } from '../../people/decision/state.ts'
import { listPlots } from '../../people/plot/store.ts'
import { listWeirs } from '../../water/weir/store.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import type { Filled } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { addClassPages, standingCrops } from './class-routes.ts'
import { addComparisonPages } from './compare-routes.ts'
import { filledFromRule, RULE_SECTIONS, readRule, weirFields, wholeRuleForm } from './form.ts'
import { addHouseholdPages, peopleOfPlots } from './household-routes.ts'
import { householdsOn } from './household-store.ts'
import { ruleInWords } from './sentences.ts'
import { FIRST_RULE, type SharingRule, setSharingRule, sharingRules } from './store.ts'

/** The sharing rule: every version in plain sentences with worked examples, and the form for the next. */
export function addRulePages(pages: Pages): void {
  const { get, post } = pages
  get('/turns/rule', 'turns.see', showRules)
  get('/turns/rule/change', 'rule.set', newRule)
  post('/turns/rule/change', 'rule.set', writeRule)
  addHouseholdPages(pages)
  addClassPages(pages)
  addComparisonPages(pages)
}

async function showRules(desk: Desk) {
  const { db, today } = desk
  const places = await rulePlaces(desk)
  const rules = (await sharingRules(db)).map((rule) => ({ ...rule, words: ruleInWords(rule, desk, places) })).reverse()
  // The version in force; those before it are still to come. The first one also holds for the days before it.
  const at = rules.findIndex((rule) => rule.fromOn <= today)
  const households = await householdsOn(db, today)
  const minutes = await minutesOfActs(db)
  return page(desk, 'rotation/rule/page', {
    title: 'sharing-rule.title',
    rules: rules.map((rule) => ({ ...rule, minute: minutes.get(rule.entryId) ?? null })),
    current: rules.at(at)?.entryId ?? null,
    countsPersons: rules.slice(0, at + 1 || undefined).some(countsPersons),
    classes: rowsInSheets(desk, 'crops', await standingCrops(desk)),
    list: peopleOfPlots(desk, places.plots, households),
    withoutPersons: places.plots.filter((plot) => !households.get(plot.id)?.persons).map((plot) => plot.number),
  })
}

/** For all water, or for that of some weir. */
function countsPersons({ personsWeight, byWeir }: SharingRule): boolean {
  return [personsWeight, ...Object.values(byWeir).map((mix) => mix.personsWeight)].some((weight) => weight > 0)
}

async function newRule(desk: Desk) {
  const last = (await sharingRules(desk.db)).at(-1) ?? FIRST_RULE
  return showRule(desk, filledFromRule(last, await rulePlaces(desk), desk.today))
}

async function writeRule(desk: Desk) {
  const isFirst = (await sharingRules(desk.db)).length === 0
  const read = readRule(desk.body, await rulePlaces(desk), isFirst ? null : desk.today)
  if (!read.ok) return showRule(desk, read.filled)
  return write(
    desk,
    (pen) => setSharingRule(pen, read.rule, restingOn(read.minute)),
    () => '/turns/rule',
  )
}

async function rulePlaces({ db, today }: Desk) {
  return { weirs: await listWeirs(db), plots: await listPlots(db, today) }
}

async function showRule(desk: Desk, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const { weirs } = await rulePlaces(desk)
  return page(desk, 'rotation/rule/form', {
    title: 'sharing-rule.rule.title',
    form: wholeRuleForm(weirs),
    filled,
    options: { minute: await minuteOptions(desk) },
    sections: RULE_SECTIONS,
    weirs: weirs.map((weir) => ({ number: weir.number, name: weir.name, fields: weirFields(weir) })),
    action: '/turns/rule/change',
    back: '/turns/rule',
  })
}
