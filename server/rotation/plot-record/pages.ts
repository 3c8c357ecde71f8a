import type { M3 } from '../../../domain/units.ts'

/** A row of jerrycans that stands for a volume: how many, and how full the last one is. */
interface CanRow {
  /** How full each can is, 0..1. */
  cans: number[]
  volumeM3: M3
}

interface CanPicture {
  /** What one drawn can stands for. */
  canM3: M3
  due: CanRow
  had: CanRow
}

const MOST_CANS = 12

/** What was a plot's due and what it had as two rows of cans to one measure, to be compared without reading. */
export function canPicture({ dueM3, hadM3 }: { dueM3: M3; hadM3: M3 }): CanPicture | null {
  const mostM3 = Math.max(dueM3, hadM3)
  if (!(mostM3 > 0)) return null
  const canM3 = roundMeasure(mostM3 / MOST_CANS)
  return { canM3, due: canRow(dueM3, canM3), had: canRow(hadM3, canM3) }
}

/** The next 1, 2 or 5 of a decade. */
function roundMeasure(leastM3: M3): number {
  const decade = 10 ** Math.floor(Math.log10(leastM3))
  return decade * [1, 2, 5, 10].find((step) => step * decade >= leastM3 * (1 - 1e-9))!
}

function canRow(volumeM3: M3, canM3: M3): CanRow {
  const cans = Math.ceil(volumeM3 / canM3 - 1e-9)
  return { volumeM3, cans: Array.from({ length: cans }, (_, at) => Math.min(1, volumeM3 / canM3 - at)) }
}
