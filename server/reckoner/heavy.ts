import { comparedWeek } from '../../domain/rotation/draft/compare-week.ts'
import { planWeek } from '../../domain/rotation/draft/plan.ts'
import { calibrateCurve } from '../../domain/water/calibration/calibrate.ts'
import { safeWeeklyAbstractionM3, storageOutlook } from '../../domain/water/outlook/outlook.ts'
import type { OutlookInput } from '../../domain/water/outlook/traces.ts'

/**
 * What takes long in a large book: each follows from what it is handed and from nothing else, so that it can be reckoned on
 * another thread, and its answer is true whatever is written meanwhile.
 */
export const HEAVY = {
  'plan of a week': planWeek,
  'rules compared': comparedWeek,
  'outlook of the season': outlookOfSeason,
  'calibration of a weir': calibrateCurve,
}

type Heavy = typeof HEAVY
export type HeavyName = keyof Heavy
export type AskedOf<Name extends HeavyName> = Parameters<Heavy[Name]>[0]
export type AnswerOf<Name extends HeavyName> = ReturnType<Heavy[Name]>

/** The outlook of a season, and what each weir may safely give a week, in that part of the traces. */
function outlookOfSeason({ input, holdsIn }: { input: OutlookInput; holdsIn: number }) {
  return {
    outlook: storageOutlook(input),
    safe: input.weirs.map(({ weirId }) => safeWeeklyAbstractionM3({ ...input, weirId, holdsIn })),
  }
}
