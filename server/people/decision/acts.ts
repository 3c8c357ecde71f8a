import type { Permission } from '../../../domain/people/permissions.ts'
import { actsResting } from '../../book/minutes/store.ts'
import type { About } from '../../book/register/register.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { namesShown } from '../../web/pages/names.ts'
import { votesInWords } from './state.ts'
import { listDecisions } from './store.ts'

interface Place {
  /** Where the act is read; one that ends in a stroke is followed by the id of what it is about. */
  page: string
  permission: Permission
  /** About one person: whoever may not open it is not told of it either. */
  isOnePersons?: boolean
}

/** Where the acts are read that can rest on a minute, by the kind of their entry. */
const PLACES: Record<string, Place> = {
  'relief-asked': { page: '/money/names/relief/', permission: 'money.see-all', isOnePersons: true },
  'kind-rate': { page: '/money/price?as=work', permission: 'tariff.see' },
  'count-words': { page: '/money/names/count/', permission: 'closing.see' },
  'count-write-off': { page: '/money/names/count/', permission: 'closing.see' },
  'sharing-rule': { page: '/turns/rule', permission: 'turns.see' },
  'drought-declaration': { page: '/water/dry', permission: 'water.see' },
  'fine-heard': { page: '/money/names/fine/', permission: 'money.see-all', isOnePersons: true },
  'plot-split': { page: '/people/plots/', permission: 'people.see' },
  'arrears-rule': { page: '/people/decisions', permission: 'people.see' },
  'applicant-taken-in': { page: '/people/applicants/', permission: 'people.see' },
  'applicant-off': { page: '/people/applicants/', permission: 'people.see' },
  'office-term': { page: '/people/handovers', permission: 'handover.see' },
  'conduct-rule': { page: '/people/warnings', permission: 'people.see' },
  'word-given': { page: '/people/names/warning/', permission: 'hearing.see-all', isOnePersons: true },
  'warning-heard': { page: '/people/names/warning/', permission: 'hearing.see-all', isOnePersons: true },
  'complaint-heard': { page: '/people/complaints/', permission: 'hearing.see-all', isOnePersons: true },
  person: { page: '/people/', permission: 'people.see' },
  'office-given': { page: '/people/names/matter/', permission: 'people.see' },
  'sign-in-given': { page: '/people/names/matter/', permission: 'office.give', isOnePersons: true },
  'person-left': { page: '/people/names/matter/', permission: 'people.see' },
  'stream-share': { page: '/water/stream', permission: 'water.see' },
  'shut-mark': { page: '/water/stream', permission: 'water.see' },
  'payer-class': { page: '/money/price', permission: 'tariff.see' },
  tariff: { page: '/money/names/price/', permission: 'tariff.see' },
}

/** An act of a kind that has no page. */
const UNPLACED: Place = { page: '', permission: 'people.see' }

/** What a minute bears: its votes, its second name and the acts that rest on it. Those about one person are only counted. */
export const aboutDecision: About = async (desk, line) => {
  const row = line.rows.decision![0]!
  const decision = (await listDecisions(desk.db)).find(({ id }) => id === line.id)
  const { shown, hidden } = decision ? await actsOf(desk, decision.key) : { shown: [], hidden: 0 }
  return {
    view: '/people/decision/about',
    votes: await votesInWords(desk, row),
    names: await namesShown(desk, line.id),
    acts: shown,
    hidden,
  }
}

async function actsOf(desk: Desk, key: string) {
  const { t, format } = desk
  const resting = (await actsResting(desk.db)).filter((act) => act.key === key)
  const placed = resting.map((act) => ({ act, place: PLACES[act.kind] ?? UNPLACED }))
  const mayOpen = ({ act, place }: (typeof placed)[number]) =>
    desk.may(place.permission) || (place.isOnePersons === true && act.forPersonId === desk.person.id)
  const told = placed.filter((one) => !one.place.isOnePersons || mayOpen(one))
  return {
    shown: told.map(({ act, place }) => ({
      words: t(`decision.act.${place === UNPLACED ? 'other' : act.kind}`),
      written: t('decision.act-written', { name: act.writerName, when: format.instant(act.writtenAt) }),
      href:
        place !== UNPLACED && mayOpen({ act, place })
          ? place.page + (place.page.endsWith('/') ? act.aboutId : '')
          : null,
    })),
    hidden: placed.length - told.length,
  }
}

/** Numbers that acts name and that nobody wrote into the decisions book yet, with how many acts name each. */
export async function unwrittenNumbers({ db }: Desk): Promise<{ number: string; count: number }[]> {
  const known = new Set((await listDecisions(db)).map(({ key }) => key))
  const open = new Map<string, { number: string; count: number }>()
  for (const { key, number } of await actsResting(db)) {
    if (!known.has(key)) open.set(key, { number, count: (open.get(key)?.count ?? 0) + 1 })
  }
  return [...open.values()]
}
