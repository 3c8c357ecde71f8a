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
  if (asked > 1 && turns > 1) return `${reason} ${words.locale.t('turns.small-turns', { turns })}`
  return asked > 1 && isOnList(week, share) ? `${reason} ${words.locale.t('turns.at-once-by-list')}` : reason
}

function isOnList({ inputs }: Week, { plotId }: PlannedShare): boolean {
  return (inputs.turnFacts?.lists ?? []).some((list) => list.plotIds.includes(plotId))
}

/** "You asked 8, you get 5.5, because weir 2 gives 18 of 26": one sentence in the visitor's words. */
export function shortReason(week: Week, share: PlannedShare, { locale, format }: Words): string {
  const { kind } = share.heldBy
  const isAll = (kind === 'need' || kind === 'request') && !week.results.hand?.changedPlotIds.includes(share.plotId)
  if (isAll) return locale.t(`turns.gets-all-${kind}`, { gets: format.one(share.allocatedM3) })
  const wanted = format.one(share.requestedM3 ?? share.needM3)
  const words = share.requestedM3 === null ? 'turns.needed-gets' : 'turns.asked-gets'
  return locale.t(words, {
    wanted,
    gets: format.one(share.allocatedM3),
    because: because(week, share, { locale, format }),
  })
}

/** What held a share, with the figures of the limit where a limit held it. */
function because(week: Week, share: PlannedShare, { locale, format }: Words): string {
  if (week.results.hand?.changedPlotIds.includes(share.plotId)) return locale.t('turns.because-manual')
  const held = heldWords(week, share)
  const limit = limitOf(week, share)
  if (limit) {
    const { mostM3, countedM3 } = limit
    const values = { number: held.values.number ?? '', most: format.volume(mostM3), counted: format.volume(countedM3) }
    return locale.t(`turns.because-${share.heldBy.kind}`, values)
  }
  const own = `turns.because-${share.heldBy.kind}`
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
