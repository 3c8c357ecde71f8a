import { DECIDING_BODIES, numberKey } from '../../../domain/people/decision.ts'
import { NAME_NEEDED } from '../../book/name-needed.ts'
import { write } from '../../book/pen.ts'
import { type Register, trouble } from '../../book/register/register.ts'
import { addRegister } from '../../book/register/routes.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { figure } from '../../web/forms/typed.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { longList } from '../../web/pages/long-list.ts'
import { page } from '../../web/pages/page.ts'
import { aboutDecision, unwrittenNumbers } from './acts.ts'
import { DecisionForm, QuorumForm } from './forms.ts'
import { votesInWords } from './state.ts'
import { listDecisions, quorumPartOn, setQuorum } from './store.ts'

/** The decisions book: what was decided, by which votes, and what rests on it. */
export function addDecisionBookPages(pages: Pages): void {
  const { get, post } = pages
  get('/people/decisions', 'people.see', showDecisions)
  get('/people/settle/quorum', 'decision.write', newQuorum)
  post('/people/settle/quorum', 'decision.write', writeQuorum)
  addRegister(pages, decisionRegister)
}

const LONGEST_IN_MARGIN = 5

async function showDecisions(desk: Desk) {
  const { db, t, format, today } = desk
  const lines = []
  for (const decision of await listDecisions(db)) {
    const { id, number, metOn, body, words, stands } = decision
    const { votes, isShort } = await votesInWords(desk, decision)
    lines.push({
      // A long number would stand across the margin line.
      at: number.length > LONGEST_IN_MARGIN ? '…' : number,
      words: number.length > LONGEST_IN_MARGIN ? t('decision.line', { number, words }) : words,
      small: `${format.date(metOn)}, ${t(`decision.body.${body}`)}. ${votes}`,
      ...(stands ? {} : { strong: t('decision.waits') }),
      ...(stands && isShort ? { strong: t('decision.too-few') } : {}),
      href: `/people/lines/decision/${id}`,
    })
  }
  const quorums = []
  for (const body of DECIDING_BODIES) {
    const part = await quorumPartOn(db, body, today)
    const rule = t(part === null ? 'decision.quorum.none' : `decision.quorum.part.${part}`)
    quorums.push(t('decision.quorum.line', { body: t(`decision.body.${body}`), rule }))
  }
  return page(desk, 'people/decision/list', {
    title: 'decision.list-title',
    list: longList(desk, lines),
    isEmpty: lines.length === 0,
    unwritten: await unwrittenNumbers(desk),
    quorums,
  })
}

async function newQuorum(desk: Desk) {
  return showQuorum(desk, emptyForm({ body: 'meeting', fromOn: desk.today }))
}

async function writeQuorum(desk: Desk) {
  const form = readForm(QuorumForm, desk.body)
  if (!form.ok) return showQuorum(desk, form)
  return write(
    desk,
    (pen) => setQuorum(pen, form.data),
    () => '/people/decisions',
  )
}

function showQuorum(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'decision.quorum.title',
    form: QuorumForm,
    filled,
    action: '/people/settle/quorum',
    intro: ['decision.quorum.intro'],
    back: '/people/decisions',
  })
}

/** The decisions book: each line is written by one officer and signed by a second. */
const decisionRegister: Register<typeof DecisionForm.fields> = {
  writtenAt: '/people/decisions/new',
  kind: 'decision',
  title: 'decision.title',
  permission: 'decision.write',
  closed: { to: 'decision.see-all', fields: ['officersWords'] },
  onField: 'metOn',
  keeps: ['body', 'present'],
  intro: ['decision.intro'],
  back: '/people/decisions',
  form: () => DecisionForm,
  start: async ({ query }) => ({ body: 'meeting', number: query.number ?? '' }),
  options: async () => ({}),
  about: aboutDecision,
  tooEarly: 'decision.future',
  lines: {
    path: '/people/lines/decision',
    tables: ['decision'],
    typed: ({ decision: [row] = [] }) => ({
      number: row!.number,
      metOn: row!.metOn,
      body: row!.body,
      words: row!.words,
      present: figure(row!.present),
      votesFor: figure(row!.votesFor),
      votesAgainst: figure(row!.votesAgainst),
      abstained: figure(row!.abstained),
      officersWords: row!.officersWords ?? '',
    }),
  },
  facts: async (decision, { db }, corrects) => {
    const same = (await listDecisions(db)).find(({ key, id }) => key === numberKey(decision.number) && id !== corrects)
    if (same) return trouble('number', 'decision.number-taken', { number: decision.number })
    const { present, votesFor, votesAgainst, abstained } = decision
    const voted = (votesFor ?? 0) + (votesAgainst ?? 0) + (abstained ?? 0)
    if (present !== null && voted > present) return trouble('present', 'decision.more-votes', { voted })
    if ((votesFor === null) !== (votesAgainst === null)) {
      return trouble(votesFor === null ? 'votesFor' : 'votesAgainst', 'decision.half-counted')
    }
    return { decision: [decision], ...NAME_NEEDED }
  },
}
