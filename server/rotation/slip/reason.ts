import { explainAllocation } from '../../../domain/rotation/allocation/explain.ts'
import type { PlannedShare } from '../../../domain/rotation/draft/plan.ts'
import type { Words } from '../../web/pages/page.ts'
import { heldWords, type ShownWeek } from '../week/view.ts'

type Week = Pick<ShownWeek, 'inputs' | 'results'>

/** The same with "in two small turns" where the roots ask for several and the plot really has them, or why it comes at once. */
export function fullReason(week: Week, share: PlannedShare, words: Words): string {
  const asked = week.inputs.claims.find((claim) => claim.plotId === share.plotId)?.turns?.count ?? 1
  const turns = week.results.turns.filter((turn) => turn.plotId === share.plotId).length
  const reason = shortReason(week, share, words)
  if (asked > 1 && turns > 1) return `${reason} ${words.locale.t('slip.small-turns', { turns })}`
  return asked > 1 && isOnList(week, share) ? `${reason} ${words.locale.t('slip.at-once-by-list')}` : reason
}

function isOnList({ inputs }: Week, { plotId }: PlannedShare): boolean {
  return (inputs.turnFacts?.lists ?? []).some((list) => list.plotIds.includes(plotId))
}

/** "You asked 8, you get 5.5, because weir 2 gives 18 of 26": one sentence in the visitor's words. */
export function shortReason(week: Week, share: PlannedShare, words: Words): string {
  const { locale, format } = words
  const isByHand = week.results.hand?.changedPlotIds.includes(share.plotId)
  const values = wantedValues(share, words)
  const { kind } = share.heldBy
  if (isByHand || !(ALL_OF_IT as readonly string[]).includes(kind)) {
    return locale.t(`slip.${wantedKey(share)}-gets`, { ...values, because: because(week, share, { locale, format }) })
  }
  const isMoreAsked = kind === 'need' && wantedKey(share) === 'asked-more'
  return locale.t(`slip.gets-all-${isMoreAsked ? 'asked-more' : kind}`, values)
}

/** Nothing of the network holds these: they have all that was asked for, that the crop needs, or that a stage of drought leaves. */
const ALL_OF_IT = ['need', 'request', 'stage'] as const

/** What the given water is measured against: what was asked for, what the crop needs, or what a stage of drought leaves of it. */
function wantedKey({ requestedM3, countedM3, needM3 }: PlannedShare): string {
  if (requestedM3 !== null && requestedM3 <= countedM3) return 'asked'
  if (countedM3 < needM3) return 'stage'
  return requestedM3 !== null && requestedM3 > needM3 ? 'asked-more' : 'needed'
}

function wantedValues({ requestedM3, countedM3, needM3, allocatedM3 }: PlannedShare, { format }: Words) {
  return {
    asked: format.one(requestedM3 ?? needM3),
    needed: format.one(needM3),
    counted: format.one(countedM3),
    gets: format.one(allocatedM3),
  }
}

/** What held a share, with the figures of the limit where a limit held it. */
function because(week: Week, share: PlannedShare, { locale, format }: Words): string {
  if (week.results.hand?.changedPlotIds.includes(share.plotId)) return locale.t('slip.because-manual')
  const held = heldWords(week, share)
  const limit = limitOf(week, share)
  if (limit) {
    const { mostM3, countedM3 } = limit
    const values = { number: held.values.number ?? '', most: format.one(mostM3), counted: format.one(countedM3) }
    return locale.t(`slip.because-${share.heldBy.kind}`, values)
  }
  const own = held.key.replace('rotation.held-', 'slip.because-')
  return locale.has(own) ? locale.t(own) : locale.t(held.key, held.values)
}

/** The weir, pump or outlet that held the share; null where nothing of the network did. */
function limitOf({ results: { allocationInput, allocation } }: Week, { plotId, heldBy }: PlannedShare) {
  if (!('id' in heldBy)) return null
  const claim = allocation.claims.find(
    ({ id, heldBy: own }) => id.split('/')[0] === plotId && 'id' in own && own.id === heldBy.id,
  )
  return claim ? explainAllocation({ input: allocationInput, allocation, claimId: claim.id }).limit : null
}
