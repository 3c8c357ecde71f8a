import type { FigureStatus } from './specific-yield.ts'

type WaterUserKind =
  | 'person'
  | 'pupil'
  | 'out-patient'
  | 'cattle'
  | 'dairy-cattle'
  | 'donkey'
  | 'goat-or-sheep'
  | 'camel'
  | 'pig'
  | 'poultry'

interface WaterNeed {
  kind: WaterUserKind
  lowLitresPerDay: number
  /** What a form offers first; the group writes its own count at the stand over it. */
  usualLitresPerDay: number
  highLitresPerDay: number
  source: string
  status: FigureStatus
}

const SPHERE = 'Sphere handbook, water supply standard 1, access and quantity (older edition)'
const DRYLANDS = 'FAO and ILCA dryland pastoral guides: King 1983; Nicholson 1985; Pallas 1986'

/** Litres a head a day. Needs rise with heat and with milk: half more for a female in milk (common extension advice). */
export const WATER_NEEDS: readonly Readonly<WaterNeed>[] = [
  // 15 is the least that the standard plans with; 20 is basic access in Howard and Bartram 2003, WHO/SDE/WSH/03.02.
  need('person', 7.5, 15, 20, SPHERE, 'verified'),
  need('pupil', 3, 3, 5, 'Sphere handbook, water supply appendix; the upper figure is common practice', 'memory'),
  need('out-patient', 5, 5, 5, 'Sphere handbook, water supply appendix', 'memory'),
  need('cattle', 20, 25, 30, DRYLANDS, 'memory'),
  // Range of a published list of adult animals; the middle is ours.
  need('dairy-cattle', 30, 55, 80, 'Published list of adult animals, secondary', 'verified-secondary'),
  need('donkey', 10, 12, 16, DRYLANDS, 'memory'),
  need('goat-or-sheep', 4, 5, 6, DRYLANDS, 'memory'),
  need('camel', 25, 30, 40, DRYLANDS, 'memory'),
  need('pig', 15, 20, 25, 'Published list of adult animals, secondary', 'verified-secondary'),
  need('poultry', 0.1, 0.2, 0.25, 'Published list of farm animals, secondary', 'verified-secondary'),
]

function need(
  kind: WaterUserKind,
  lowLitresPerDay: number,
  usualLitresPerDay: number,
  highLitresPerDay: number,
  source: string,
  status: FigureStatus,
): WaterNeed {
  return { kind, lowLitresPerDay, usualLitresPerDay, highLitresPerDay, source, status }
}
