import { nextStep } from '../../../domain/people/ladder.ts'
import { isOwnMatter } from '../../book/names/own-matter.ts'
import { minutesOfActs } from '../../people/decision/state.ts'
import { groundInWords } from '../../people/warning/ladder-state.ts'
import { stepsTowards } from '../../people/warning/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Filled } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { secondName, signed } from '../signed.ts'
import { type Appeal, fineAppeals } from './appeal-store.ts'
import { FineAppealForm, FineDecisionForm } from './forms.ts'
import { type Fine, finesAsSteps, listFines, unpaidMinor } from './store.ts'

interface AppealedFine extends Fine {
  appeal: Appeal | null
}

export async function showFineWith(desk: Desk<'id'>, fine: AppealedFine, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const appeals = mayAppeal(desk, fine)
  const decides = await mayDecide(desk, fine)
  return page(desk, 'fees/fine/page', {
    title: 'fines.fine.heading',
    titleValues: { name: fine.personName },
    fine: fineShown(desk, fine),
    appeal: fine.appeal && appealShown(desk, fine.appeal),
    mayConfirm: mayConfirm(desk, fine),
    names: await namesShown(desk, fine.id),
    minute: (await minutesOfActs(desk.db)).get(fine.id) ?? null,
    grounds: groundInWords(desk, 'fine', fine.ground),
    skipped: await skippedStep(desk, fine),
    mayLapse: await mayLapse(desk, fine),
    step: decides ? 'decision' : appeals ? 'appeal' : null,
    form: decides ? FineDecisionForm : FineAppealForm,
    filled,
    action: `/money/names/fine/${fine.id}/${decides ? 'decision' : 'appeal'}`,
    submit: decides ? 'fines.decision.submit' : 'fines.appeal.submit',
  })
}

/** The lighter step that the ladder without a rule offered when the person was heard; null where a fine was its turn. */
async function skippedStep({ db }: Desk, { personId, heardOn, id, ground }: Fine) {
  if (ground?.rule) return null
  const before = (await listFines(db)).filter((one) => one.id !== id)
  const all = [...(await stepsTowards(db, personId)), ...finesAsSteps(before, personId)]
  const taken = all.filter(({ conduct }) => conduct === null)
  const offered = ground?.named ?? nextStep(taken, heardOn)
  return offered === 'fine' ? null : offered
}

/** A fine that waits for its second name, or for a decision, is open to the officers who may give it; else to nobody by its money. */
export async function fineFor(desk: Desk<'id'>): Promise<AppealedFine> {
  const { id } = desk.params
  const fine = (await listFines(desk.db)).find((one) => one.id === id)
  const appealed = fine && { ...fine, appeal: (await fineAppeals(desk.db)).get(fine.id) ?? null }
  const isAsked = appealed && (mayConfirm(desk, appealed) || (await mayDecide(desk, appealed)))
  if (!isAsked) onlyMoneyOf(desk, fine?.personId)
  return found(appealed)
}

/** By the person, or by the treasurer for the person: once, after it was charged and before it lapsed. */
export function mayAppeal(desk: Desk, { appeal, transfer, lapsed, personId, lapseOn }: AppealedFine): boolean {
  const isOpen = !appeal && transfer !== null && !lapsed && desk.today < lapseOn
  return isOpen && (personId === desk.person.id || desk.may('payment.record'))
}

/** Not by whoever wrote the fine or put a name under it, and not for the own household. */
export async function mayDecide(desk: Desk, { appeal, approval, writerId, personId }: AppealedFine): Promise<boolean> {
  const hasPart = [writerId, personId, approval?.approverId].includes(desk.person.id)
  const isOpen = appeal !== null && appeal.decision === null
  return isOpen && !hasPart && desk.may('fine.approve') && !(await isOwnMatter(desk, [personId]))
}

/** What is not paid, once its day has come, and not for the own household. */
async function mayLapse(desk: Desk, fine: Fine): Promise<boolean> {
  if (fine.lapsed || desk.today < fine.lapseOn || !desk.may('payment.record')) return false
  return (await unpaidMinor(desk.db, fine)) > 0 && !(await isOwnMatter(desk, [fine.personId]))
}

/** Not by the writer, and not in one's own matter. */
export function mayConfirm(desk: Desk, fine: Fine): boolean {
  const { id } = desk.person
  return !fine.approval && !fine.withheld && fine.writerId !== id && fine.personId !== id && desk.may('fine.approve')
}

export function fineShown(desk: Desk, fine: Fine, shown = moneyWords(desk).money) {
  const { format, locale } = desk
  const { approval } = fine
  const state = fine.withheld ? 'withheld' : fine.lapsed ? 'lapsed' : fine.transfer ? 'posted' : 'waits'
  return {
    id: fine.id,
    name: fine.personName,
    rule: fine.rule,
    fact: fine.fact,
    hearing: locale.t('fines.fine.heard-line', { date: format.date(fine.heardOn), words: fine.hearing }),
    amount: shown(fine.amountMinor),
    lapse: format.date(fine.lapseOn),
    state: locale.t(`fines.fine.state.${state}`),
    writer: signed(desk, fine.writerName, fine.writtenAt),
    second: secondName(desk, approval),
  }
}

function appealShown(desk: Desk, { decidedBy, words, decision }: Appeal) {
  const { t } = desk
  return {
    words: t('fines.appeal.line', { by: decidedBy, words }),
    decision: decision
      ? t(`fines.decision.line-${decision.stands ? 'stands' : 'lifted'}`, { by: decidedBy, words: decision.words })
      : t('fines.decision.waits', { by: decidedBy }),
    writer: decision ? signed(desk, decision.writerName, decision.writtenAt) : '',
  }
}
