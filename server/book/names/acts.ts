import type { Permission } from '../../../domain/people/permissions.ts'
import type { Database } from '../../database/connection.ts'
import { goBack } from '../clock.ts'
import type { Pen } from '../entries.ts'
import {
  askedFor,
  bothOfMove,
  countersOf,
  type Find,
  gainersOfConsent,
  holdersOfChange,
  holdersOfConsent,
  holdersOfExcused,
  holdersOfMissed,
  householdsOfParts,
  namedByMeeting,
  otherOfHandover,
  payees,
  personOf,
  personOfEntry,
} from './concerned.ts'
import { householdsOfLine, membersBesideLine } from './parting.ts'

/** An act that one person writes and that needs other people's names. */
interface TwoNameAct {
  /** How many names it needs besides the writer's. */
  names: 1 | 2
  /** Who may put a name under it, or decline it. */
  permission: Permission
  /** Whoever may do so without that office. */
  alsoMay?: Find
  /** Whoever gains by it or is its matter: their names do not count. The spouses of officers are the group's own matter. */
  concerned?: Find
  /** The one person whose name it is; anybody else's does not count. */
  asked?: Find
  /** Members whom a meeting named for it because officers are too few: where there are any, each of them is needed and nobody else. */
  named?: Find
  /** Whatever follows once it has its names. */
  onceNamed?: (pen: Pen, id: string) => Promise<void>
  /** Where it is read; one that ends in a stroke is followed by its id. */
  page?: string
  /** It holds by the name alone, so nothing else is written with the last name. */
  byItself?: boolean
  /** It holds from its writing, so that it is put right and not declined. */
  holdsAtOnce?: boolean
}

/** What no officer does alone about somebody, nor with the help of whom it is about. */
const ABOUT_A_PERSON: TwoNameAct = {
  names: 1,
  permission: 'office.give',
  concerned: personOfEntry,
  alsoMay: namedByMeeting,
  named: namedByMeeting,
  page: '/people/names/matter/',
  byItself: true,
}

/** What makes somebody's part larger or smaller; the last look before a week is published says whose name is asked for. */
const ABOUT_ALL_PARTS: TwoNameAct = { names: 1, permission: 'basis.name', holdsAtOnce: true }
const ABOUT_PARTS: TwoNameAct = { ...ABOUT_ALL_PARTS, concerned: householdsOfParts }

/** Whoever got another sign-in, or none, is signed out everywhere, and the short code goes: whoever held the phone holds nothing. */
async function endSignIns({ trx }: Pen, id: string): Promise<void> {
  for (const personId of await personOfEntry(trx, id)) {
    await trx.deleteFrom('session').where('personId', '=', personId).execute()
    await trx.deleteFrom('shortCode').where('personId', '=', personId).execute()
    await trx.deleteFrom('oneTimeCode').where('personId', '=', personId).execute()
  }
}

/** Every act that needs another name, by the kind of its entry. What does not stand here cannot be given a name. */
export const TWO_NAME_ACTS = {
  // the joined book
  'book-joined': { names: 1, permission: 'office.give' },
  'week-seal': { names: 1, permission: 'book.export', page: '/paper/seals', byItself: true },
  'week-chosen': { names: 1, permission: 'week.publish' },
  // people
  'clock-told': { names: 1, permission: 'level.record', page: '/log/check', byItself: true, onceNamed: goBack },
  'group-setting': { names: 1, permission: 'office.give', page: '/people/names/group/', byItself: true },
  'device-registered': { names: 1, permission: 'device.register', page: '/people/devices', byItself: true },
  'lives-together': {
    names: 1,
    permission: 'people.register',
    concerned: householdsOfLine,
    alsoMay: membersBesideLine,
    page: '/people/households',
    byItself: true,
  },
  decision: { names: 1, permission: 'decision.write', page: '/people/lines/decision/', byItself: true },
  'conduct-rule': { names: 1, permission: 'decision.write', page: '/people/warnings', byItself: true },
  handover: {
    names: 1,
    permission: 'turns.see',
    asked: otherOfHandover,
    page: '/people/names/handover/',
    byItself: true,
  },
  'warning-heard': {
    names: 1,
    permission: 'fine.approve',
    concerned: personOf('warning'),
    page: '/people/names/warning/',
    byItself: true,
  },
  'office-given': { ...ABOUT_A_PERSON },
  'sign-in-given': { ...ABOUT_A_PERSON, onceNamed: endSignIns },
  'person-left': { ...ABOUT_A_PERSON, onceNamed: endSignIns },
  // water
  'level-volume-table': { names: 1, permission: 'water.describe' },
  'drought-declaration': { names: 1, permission: 'rule.set', page: '/water/dry', byItself: true },
  'drought-lift': { names: 1, permission: 'rule.set', page: '/water/dry', byItself: true },
  'stream-share': { names: 1, permission: 'rule.set', page: '/water/stream', byItself: true },
  'rest-set-aside': { names: 2, permission: 'rule.set', page: '/water/stream', byItself: true },
  // what parts are reckoned by: it holds from its writing, and whoever wrote it publishes no week by it alone
  'plot-detail': { ...ABOUT_PARTS },
  holders: { ...ABOUT_PARTS },
  'plot-household': { ...ABOUT_PARTS },
  'received-before': { ...ABOUT_PARTS },
  'crop-plan': { ...ABOUT_PARTS },
  'crop-end': { ...ABOUT_PARTS },
  'plan-class': { ...ABOUT_PARTS },
  'plan-cover': { ...ABOUT_PARTS },
  'plot-mulch': { ...ABOUT_PARTS },
  'plot-state': { ...ABOUT_PARTS },
  'sharing-rule': { ...ABOUT_ALL_PARTS },
  'week-rule': { ...ABOUT_ALL_PARTS },
  'own-crop': { ...ABOUT_ALL_PARTS },
  'rain-rule': { ...ABOUT_ALL_PARTS },
  'month-table': { ...ABOUT_ALL_PARTS },
  'coefficient-rule': { ...ABOUT_ALL_PARTS },
  'demand-rule': { ...ABOUT_ALL_PARTS },
  'salt-washing': { ...ABOUT_ALL_PARTS },
  'most-turns': { ...ABOUT_ALL_PARTS },
  'plot-gauge': { ...ABOUT_ALL_PARTS },
  'turn-length': { ...ABOUT_ALL_PARTS },
  'line-position': { ...ABOUT_ALL_PARTS },
  'outlet-filling': { ...ABOUT_ALL_PARTS },
  'turn-list': { ...ABOUT_ALL_PARTS },
  'turn-list-served': { ...ABOUT_ALL_PARTS },
  'holder-groups': { ...ABOUT_ALL_PARTS },
  'tank-use': { ...ABOUT_ALL_PARTS },
  'tank-outlet': { ...ABOUT_ALL_PARTS },
  'water-users': { ...ABOUT_ALL_PARTS },
  'water-setting': { ...ABOUT_ALL_PARTS },
  'cover-term': { ...ABOUT_ALL_PARTS },
  'weir-survey': { ...ABOUT_ALL_PARTS },
  'probed-survey': { ...ABOUT_ALL_PARTS },
  'sand-loss': { ...ABOUT_ALL_PARTS },
  chamber: { ...ABOUT_ALL_PARTS },
  'refill-test': { ...ABOUT_ALL_PARTS },
  'pump-detail': { ...ABOUT_ALL_PARTS },
  'flow-test': { ...ABOUT_ALL_PARTS, page: '/log/check', byItself: true },
  'drinking-caution': { ...ABOUT_ALL_PARTS },
  'shut-mark': { ...ABOUT_ALL_PARTS },
  'level-reading': { ...ABOUT_ALL_PARTS },
  'weather-day': { ...ABOUT_ALL_PARTS },
  'gauge-rain': { ...ABOUT_ALL_PARTS },
  'pump-mount': { ...ABOUT_ALL_PARTS },
  'pump-day-sky': { ...ABOUT_ALL_PARTS },
  'week-sky': { ...ABOUT_ALL_PARTS },
  'outlet-pair': { ...ABOUT_ALL_PARTS },
  tank: { ...ABOUT_ALL_PARTS },
  fault: { ...ABOUT_ALL_PARTS },
  'fault-fix': { ...ABOUT_ALL_PARTS },
  'turn-list-pause': { ...ABOUT_ALL_PARTS },
  'market-week': { ...ABOUT_ALL_PARTS },
  'no-turn-day': { ...ABOUT_ALL_PARTS },
  'no-turn-hours': { ...ABOUT_ALL_PARTS },
  'no-turn-custom': { ...ABOUT_ALL_PARTS },
  'water-request': { ...ABOUT_PARTS },
  'standing-request': { ...ABOUT_PARTS },
  abstraction: { ...ABOUT_PARTS },
  'turn-outcome': { ...ABOUT_ALL_PARTS, concerned: holdersOfExcused },
  // rotation
  'turn-change': { names: 1, permission: 'week.publish', concerned: holdersOfChange },
  'turn-amendment': { names: 1, permission: 'week.publish', concerned: holdersOfChange },
  'swap-consent': {
    names: 1,
    permission: 'abstraction.log',
    alsoMay: holdersOfConsent,
    concerned: gainersOfConsent,
    page: '/turns/asked?as=swaps',
  },
  'late-excuse': {
    names: 1,
    permission: 'week.publish',
    concerned: holdersOfExcused,
    page: '/turns/names/late-excuse/',
    byItself: true,
  },
  // abstractions
  'log-closing': { names: 1, permission: 'abstraction.log' },
  // The next reading needs it, so that it holds from its writing; without a name it stays an open point.
  'pump-meter': { names: 1, permission: 'abstraction.log', page: '/log/check', byItself: true, holdsAtOnce: true },
  // fees
  tariff: { names: 1, permission: 'tariff.approve', page: '/money/names/price/' },
  voucher: { names: 2, permission: 'voucher.approve', concerned: payees, page: '/money/names/voucher/' },
  'relief-asked': {
    names: 1,
    permission: 'relief.approve',
    concerned: personOf('relief'),
    asked: askedFor('relief', 'askedId'),
    page: '/money/names/relief/',
  },
  'arrears-to-owner': {
    names: 1,
    permission: 'relief.approve',
    concerned: bothOfMove,
    page: '/money/names/to-owner/',
  },
  'fine-heard': { names: 1, permission: 'fine.approve', concerned: personOf('fine') },
  'missed-turn-heard': {
    names: 1,
    permission: 'fine.approve',
    concerned: holdersOfMissed,
    page: '/money/names/missed-turn/',
    byItself: true,
  },
  'cash-count': { names: 1, permission: 'turns.see', asked: askedFor('cashCount', 'secondId') },
  'money-statement': { names: 1, permission: 'closing.see', page: '/money/names/bank-paper/', byItself: true },
  'count-write-off': { names: 2, permission: 'voucher.approve', concerned: countersOf },
  'period-closing': { names: 1, permission: 'closing.approve', page: '/money/names/closing/' },
  'reserve-move': { names: 1, permission: 'voucher.approve', page: '/money/names/move/' },
} as const satisfies Record<string, TwoNameAct>

export type TwoNameKind = keyof typeof TWO_NAME_ACTS

/** The act of an entry's kind. Throws RangeError for an entry to which no second name belongs. */
export function actOf(kind: string): TwoNameAct {
  if (!isTwoNameAct(kind)) throw new RangeError(`no second name belongs to an entry of kind ${kind}`)
  return TWO_NAME_ACTS[kind]
}

/** How many names an entry needs besides its writer's. */
export async function namesNeeded(db: Database, kind: string, id: string): Promise<number> {
  const { names, named } = actOf(kind)
  return ((await named?.(db, id)) ?? []).length || names
}

export function isTwoNameAct(kind: string): kind is TwoNameKind {
  return Object.hasOwn(TWO_NAME_ACTS, kind)
}

/** Where an entry is read; the first page where it has none of its own. */
export function pageOfAct(kind: string, id: string): string {
  const { page = '/' } = actOf(kind)
  return page !== '/' && page.endsWith('/') ? `${page}${id}` : page
}
