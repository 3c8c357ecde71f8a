import { explainAllocation } from '../../domain/rotation/explain-allocation.ts'
import type { PlannedShare } from '../../domain/rotation/week-plan.ts'
import type { Visit } from '../web/page.ts'
import type { ShownWeek } from './week-view.ts'
import { heldWords } from './week-view.ts'

type Week = Pick<ShownWeek, 'inputs' | 'results'>

/** "You asked 8, you get 5.5, because weir 2 gives 18 of 26": one sentence in the visitor's words. */
export function shortReason(week: Week, share: PlannedShare, { locale, format }: Visit): string {
  const wanted = format.one(share.requestedM3 ?? share.needM3)
  const words = share.requestedM3 === null ? 'turns.needed-gets' : 'turns.asked-gets'
  return locale.t(words, {
    wanted,
    gets: format.one(share.allocatedM3),
    because: because(week, share, { locale, format }),
  })
}

/** What held a share, with the figures of the limit where a limit held it. */
export function because(
  { inputs, results }: Week,
  share: PlannedShare,
  { locale, format }: Omit<Visit, 'today' | 'group'>,
) {
  const held = heldWords(inputs, share)
  if (!isALimit(share))
    return locale.has(`turns.because-${share.heldBy.kind}`)
      ? locale.t(`turns.because-${share.heldBy.kind}`)
      : locale.t(held.key, held.values)
  const limit = explainAllocation({ ...explained(results), claimId: share.plotId }).limit
  if (!limit) return locale.t(held.key, held.values)
  return locale.t(`turns.because-${share.heldBy.kind}`, {
    number: held.values.number ?? '',
    most: format.volume(limit.mostM3),
    counted: format.volume(limit.countedM3),
  })
}

function explained({ allocationInput, allocation }: Week['results']) {
  return { input: allocationInput, allocation }
}

function isALimit({ heldBy }: PlannedShare): boolean {
  return heldBy.kind === 'weir' || heldBy.kind === 'pump' || heldBy.kind === 'outlet'
}
