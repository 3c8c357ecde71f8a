import type { Range } from '../../units.ts'

/** How sure the printed figure itself is: seen in a copy of the table, or recalled. */
export type FigureStatus = 'verified' | 'verified-secondary' | 'memory'

export type Sediment =
  | 'clay'
  | 'sandy-clay'
  | 'silt'
  | 'fine-sand'
  | 'medium-sand'
  | 'coarse-sand'
  | 'gravelly-sand'
  | 'fine-gravel'

interface SedimentYield {
  sediment: Sediment
  /** Share of the bulk volume that drains by gravity, 0..1. */
  specificYield: Range
  /** Share that drained from a bucket in one hour; null where none is listed. Recalled from Nissen-Petersen's handbooks. */
  oneHourDrainage: number | null
  source: string
  status: FigureStatus
}

const JOHNSON = 'Johnson 1967, Specific yield: compilation for various materials, USGS Water-Supply Paper 1662-D'

/**
 * Specific yield by kind of sediment: least, mean and most of the samples that Johnson compiled.
 * Laboratory values after long drainage; a field bucket test of the group's own sand is better evidence.
 * The one-hour drainage is from Nissen-Petersen, Water from sand rivers (about 2000), status: memory.
 */
export const SEDIMENT_YIELDS: readonly Readonly<SedimentYield>[] = [
  row('clay', 0, 0.02, 0.05, null),
  row('sandy-clay', 0.03, 0.07, 0.12, null),
  // One secondary copy prints a mean of 18 per cent for silt; 8 is recalled from the paper and fits its range.
  row('silt', 0.03, 0.08, 0.19, 0.05, 'memory'),
  row('fine-sand', 0.1, 0.21, 0.28, 0.19),
  row('medium-sand', 0.15, 0.26, 0.32, 0.25),
  row('coarse-sand', 0.2, 0.27, 0.35, 0.35),
  row('gravelly-sand', 0.2, 0.25, 0.35, null),
  row('fine-gravel', 0.21, 0.25, 0.35, null),
]

/** Specific yield of a sediment as a part of its volume, 0 to 1 (source beside the table). Throws a RangeError for one not in it. */
export function specificYieldOf(sediment: Sediment): Range {
  const found = SEDIMENT_YIELDS.find((entry) => entry.sediment === sediment)
  if (!found) throw new RangeError(`no such sediment: ${sediment}`)
  return { ...found.specificYield }
}

function row(
  sediment: Sediment,
  low: number,
  likely: number,
  high: number,
  oneHourDrainage: number | null,
  status: FigureStatus = 'verified-secondary',
): SedimentYield {
  return { sediment, specificYield: { low, likely, high }, oneHourDrainage, source: JOHNSON, status }
}
