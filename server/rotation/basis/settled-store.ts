import { group } from 'd3-array'
import { asWritten } from '../../book/standing.ts'
import { change, isSince, type Since, type WrittenChange } from './written-change.ts'

/** What the group settled for all, by its entry: its words in the catalogue, and where it is read. */
const SETTLED = {
  'rain-rule': ['rainRule', '/crops/figures'],
  'month-table': ['monthTable', '/crops/figures'],
  'coefficient-rule': ['coefficientRule', '/crops/figures'],
  'demand-rule': ['demandRule', '/crops/figures'],
  'salt-washing': ['saltWashing', '/crops/figures'],
  'most-turns': ['mostTurns', '/crops/figures'],
  'plot-gauge': ['plotGauge', '/crops/figures'],
  'turn-length': ['turnLength', '/works'],
  'line-position': ['linePosition', '/turns/fair?as=line'],
  'outlet-filling': ['outletFilling', '/turns/fair?as=line'],
  'turn-list': ['turnList', '/turns/lists'],
  'holder-groups': ['holderGroup', '/turns/fair'],
  'tank-use': ['tankUse', '/works?as=tanks'],
  'tank-outlet': ['tankOutlet', '/works?as=tanks'],
  'water-users': ['waterUser', '/water/kept'],
  'water-setting': ['waterSetting', '/water/kept'],
  'cover-term': ['coverTerm', '/water/lasts'],
  'weir-survey': ['weirSurvey', '/water'],
  'probed-survey': ['probedSurvey', '/water'],
  'sand-loss': ['sandLoss', '/water'],
  chamber: ['chamber', '/water'],
  'refill-test': ['refillTest', '/water'],
  'drinking-caution': ['drinkingCaution', '/water/kept'],
  'shut-mark': ['shutMark', '/water/stream'],
  'pump-mount': ['pumpMount', '/works'],
  'pump-day-sky': ['pumpDaySky', '/works'],
  'outlet-pair': ['outletPair', '/works'],
  tank: ['tank', '/works?as=tanks'],
  fault: ['fault', '/log/faults'],
  'fault-fix': ['faultFix', '/log/faults'],
  'turn-list-pause': ['turnListPause', '/turns/lists'],
  'market-week': ['marketWeek', '/people/market-weeks'],
  'no-turn-day': ['noTurnDay', '/works'],
  'pump-detail': ['pumpDetail', '/works'],
  'flow-test': ['flowTest', '/log/tests'],
} as const

type SettledKind = keyof typeof SETTLED

export function settledWritten(since: Since) {
  return since.db
    .selectFrom('entry')
    .select(['id', 'kind'])
    .where(isSince(since))
    .where('kind', 'in', Object.keys(SETTLED))
    .orderBy(asWritten)
}

/** The settings for all that were written since: a line a kind, which rests on all its entries. */
export async function settledSince(since: Since): Promise<WrittenChange[]> {
  const rows = await settledWritten(since).execute()
  return [...group(rows, ({ kind }) => kind as SettledKind)].map(([kind, own]) => {
    const [setting, href] = SETTLED[kind]
    const [entryId, ...earlierIds] = own.map(({ id }) => id).toReversed()
    return change('setting', { entryId: entryId!, earlierIds, plotId: null, href, setting })
  })
}
