import type { CalendarDate, Instant } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { PLOT_CLASSES, type PlotClass } from '../../people/plot-class.ts'
import type { EntitlementMix } from '../share/mix.ts'
import type { RuleName } from './compare.ts'

/** What a plot's part is made of; only the proportions of the weights matter. */
export interface RuleMix {
  equalWeight: number
  areaWeight: number
  shareWeight: number
  personsWeight: number
  needWeight: number
  /** Area beyond this counts for nothing; null counts it all. */
  areaCapM2: number | null
}

/** Classes with the same place are served together. */
export interface ClassPlace {
  class: PlotClass
  place: number
  /** Part of the need served before any class gets more than its minimum; null sets none. */
  minimumPart: number | null
}

/** Served in full right after drinking water; null keeps that in every stage of a drought, a number up to that stage. */
export interface ProtectedPlot {
  plotId: Id<'plot'>
  upToStage: number | null
}

/** How a missed turn that was called off beforehand is made good, under rules that look at one week alone. */
export interface CarryOverTerms {
  /** Days after the missed turn within which it may be made good; 0 carries nothing over. */
  excusedDays: number
  /** At most this part of the week's need is added for it; null sets no cap. */
  excusedCapPart: number | null
}

export interface WeekRule extends RuleMix {
  fromOn: CalendarDate
  /** By request, or for every plot with a crop in the ground. */
  admission: 'request' | 'crop'
  /** Another mix for the water of one weir, by the weir's id. */
  byWeir: Record<string, RuleMix>
  classes: ClassPlace[]
  /** Crops sown after this day are late plantings; null knows none. */
  declaredOn: CalendarDate | null
  protectedPlots: ProtectedPlot[]
  /** Part of each weir's releasable water that the plan leaves unbooked. */
  sparePart: number
  carryOver: CarryOverTerms
}

/** A declared stage of drought and what it leaves of each class's need. */
export interface WeekDrought {
  stage: number
  name: string
  capByClass: Partial<Record<PlotClass, number>>
}

/** The rule by which the committee shares this one week, with its reason. */
export interface WeekChoice {
  rule: RuleName
  reason: string
  chosenBy: string
  chosenAt: Instant
}

/** A group that has set no order serves all classes together. */
export const CLASSES_TOGETHER: ClassPlace[] = PLOT_CLASSES.map((each) => ({
  class: each,
  place: 1,
  minimumPart: null,
}))

/** The rule's weights under the names by which entitlements know them, with the most area that counts for one plot (m2), if any. */
export function entitlementMix(mix: RuleMix): EntitlementMix {
  const { equalWeight: equal, areaWeight: area, shareWeight: share, personsWeight: persons, needWeight: need } = mix
  return { weights: { equal, area, share, persons, need }, areaCapM2: mix.areaCapM2 ?? undefined }
}

/** True when at least one basis has weight, so that there is something to share by. */
export function hasWeight(mix: RuleMix): boolean {
  return mix.equalWeight + mix.areaWeight + mix.shareWeight + mix.personsWeight + mix.needWeight > 0
}
