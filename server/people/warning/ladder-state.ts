import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { counting, isFined, type LadderStep, lapsesOn, nextStep } from '../../../domain/people/ladder.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Option } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { rulesOn, type StepGround, type WrittenRule } from './rule-store.ts'
import { stepsTowards } from './store.ts'

/** What the ladder names towards a person about one conduct on a day. */
interface Named {
  rule: WrittenRule | null
  step: LadderStep
  /** Of the same conduct, how many steps count. */
  count: Record<LadderStep, number>
  /** Until when the step counts, where a rule says so. */
  lapseOn: CalendarDate | null
}

/** What was chosen: a rule by its number, a conduct in no rule, or nothing yet although there are rules to choose from. */
export async function chosenConduct({ db, query, today }: Desk): Promise<string | null | undefined> {
  if (query.conduct !== undefined) return query.conduct || null
  return (await rulesOn(db, today)).length > 0 ? undefined : null
}

/** Undefined where no such rule held on the day. */
export async function namedTowards(
  desk: Desk,
  { personId, conduct, on }: { personId: string; conduct: string | null; on: CalendarDate },
): Promise<Named | undefined> {
  const rule = (await rulesOn(desk.db, on)).find(({ number }) => number === conduct) ?? null
  if (conduct !== null && !rule) return undefined
  const taken = await stepsAbout(desk, personId, conduct)
  return {
    rule,
    step: nextStep(taken, on, rule),
    count: counting(taken, on),
    lapseOn: rule && lapsesOn(rule, on),
  }
}

/** The steps that were taken towards a person about one conduct; null: about what is in no rule. */
export async function stepsAbout({ db, parts }: Desk, personId: Id<'person'>, conduct: string | null) {
  const taken = [...(await stepsTowards(db, personId)), ...(await parts.people.finesTowards(db, personId))]
  return taken.filter((one) => one.conduct === conduct)
}

/** A rule in one sentence. */
export function ruleInWords(desk: Desk, rule: WrittenRule): string {
  const { number, conduct, wordsBefore: words, warningsBefore: warnings, lapseDays: days } = rule
  return desk.t('conduct.line', { number, conduct, words, warnings, days, fine: fineInWords(desk, rule) })
}

function fineInWords(desk: Desk, rule: WrittenRule): string {
  if (!isFined(rule)) return desk.t('conduct.fine.none')
  return rule.fineMinor === null
    ? desk.t('conduct.fine.part', { percent: rule.finePercent! })
    : desk.t('conduct.fine.amount', { amount: moneyWords(desk).money(rule.fineMinor) })
}

/** What is said above the form of a step: the rule, what counts by it, and the step that it names. */
export function namedInWords(desk: Desk, { rule, step, count, lapseOn }: Named): string[] {
  if (!rule) return []
  const { t, format } = desk
  const named =
    step === 'fine'
      ? fineInWords(desk, rule)
      : t('conduct.until', { step: t(`warning.step.${step}`), date: format.date(lapseOn!) })
  return [ruleInWords(desk, rule), t('conduct.counting', count), t('conduct.names', { named })]
}

/** On the page of a step: its rule, and why it is another than that named. */
export function groundInWords(desk: Desk, step: LadderStep, ground: StepGround | undefined): string[] {
  if (!ground) return []
  const { t } = desk
  const { rule, named, reason } = ground
  return [
    ...(rule ? [ruleInWords(desk, rule)] : []),
    ...(rule && named !== step
      ? [t('conduct.named-other', { named: t(`warning.step.${named}`), step: t(`warning.step.${step}`) })]
      : []),
    ...(reason ? [t('conduct.reason-line', { reason })] : []),
  ]
}

/** The choice of person and conduct that comes before the form of a step. */
export async function choicePage(
  desk: Desk,
  shown: { title: string; action: string; back: string; persons: Option[] },
) {
  const rules = await rulesOn(desk.db, desk.today)
  const conducts = rules.map(({ number, conduct }) => ({ value: number, label: `${number} ${conduct}` }))
  return page(desk, 'people/warning/choose', { ...shown, person: desk.query.person ?? '', conducts })
}
