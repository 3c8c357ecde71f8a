import { comparedWeek } from '../../domain/rotation/draft/compare-week.ts'
import { planWeek } from '../../domain/rotation/draft/plan.ts'
import type { KnownParts } from '../../domain/rotation/timetable/known.ts'
import type { WeekInputs } from '../../domain/rotation/week/inputs.ts'
import type { PlannedWeek } from '../../domain/rotation/week/planned-week.ts'
import { calibrateCurve } from '../../domain/water/calibration/calibrate.ts'
import { safeWeeklyAbstractionM3, storageOutlook } from '../../domain/water/outlook/outlook.ts'
import type { OutlookInput } from '../../domain/water/outlook/traces.ts'

/**
 * What takes long in a large book: each follows from what it is handed and from nothing else, so that it can be reckoned on
 * another thread, and its answer is true whatever is written meanwhile.
 */
export const HEAVY = {
  'plan of a week': plannedAgain,
  'rules compared': comparedWeek,
  'outlook of the season': outlookOfSeason,
  'calibration of a weir': calibrateCurve,
}

type Heavy = typeof HEAVY
export type HeavyName = keyof Heavy
export type AskedOf<Name extends HeavyName> = Parameters<Heavy[Name]>[0]
export type AnswerOf<Name extends HeavyName> = ReturnType<Heavy[Name]>

/** Of so many weeks it is kept how their pumps were laid, and of each so many pumps with what was tried: some ten megabytes. Own choice, no source. */
const MOST_WEEKS = 3
const MOST_PARTS = 500
const weeks = new Map<string, KnownParts>()

/** The plan of a week; after one more request most pumps have the work that they had, and need not be laid again. */
function plannedAgain(inputs: WeekInputs): PlannedWeek {
  let known: KnownParts = new Map()
  const plan = planWeek(inputs, (hours) => {
    known = weeks.get(hours) ?? known
    weeks.delete(hours)
    weeks.set(hours, known)
    return known
  })
  dropOldest(known, MOST_PARTS)
  dropOldest(weeks, MOST_WEEKS)
  return plan
}

function dropOldest(all: Map<string, unknown>, most: number): void {
  for (const oldest of all.keys()) if (all.size > most) all.delete(oldest)
}

/** The outlook of a season, and what each weir may safely give a week, in that part of the traces. */
function outlookOfSeason({ input, holdsIn }: { input: OutlookInput; holdsIn: number }) {
  return {
    outlook: storageOutlook(input),
    safe: input.weirs.map(({ weirId }) => safeWeeklyAbstractionM3({ ...input, weirId, holdsIn })),
  }
}
