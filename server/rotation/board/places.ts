import { tenths } from '../../web/figures/drawn.ts'

/** A stretch of the day on the board's scale, in millimetres from the upper edge of its hours. */
interface Placed {
  y: number
  height: number
}

interface Hours {
  startMinute: number
  endMinute: number
}

interface Scale {
  /** The first and the last minute of the board. */
  from: number
  to: number
  heightMm: number
}

const GAP_MM = 0.8
/** Three rows of words and boxes that a pen can fill. */
const LEAST_MM = 16.8

/**
 * Blocks one below the other, each at its hour and as high as it is long. A turn too short to be written in is drawn taller and the
 * next moves down; where the day is then too full, all give way alike. The clock in the block rules, so none changes its order.
 */
export function placesDown(turns: readonly Hours[], { from, to, heightMm }: Scale): Placed[] {
  const mmPerMinute = heightMm / (to - from)
  const least = Math.min(LEAST_MM, heightMm / Math.max(1, turns.length) - GAP_MM)
  const heights = shrunk(
    turns.map(({ startMinute, endMinute }) => Math.max(least, (endMinute - startMinute) * mmPerMinute - GAP_MM)),
    { least, roomMm: heightMm - turns.length * GAP_MM },
  )
  const tops: number[] = []
  for (const [at, { startMinute }] of turns.entries()) {
    const below = at === 0 ? 0 : tops[at - 1]! + heights[at - 1]! + GAP_MM
    tops.push(Math.max(below, (startMinute - from) * mmPerMinute))
  }
  let foot = heightMm
  for (let at = turns.length - 1; at >= 0; at -= 1) {
    tops[at] = Math.min(tops[at]!, foot - heights[at]!)
    foot = tops[at]! - GAP_MM
  }
  return tops.map((y, at) => ({ y: tenths(Math.max(0, y)), height: tenths(heights[at]!) }))
}

function shrunk(heights: readonly number[], { least, roomMm }: { least: number; roomMm: number }): number[] {
  const wanted = heights.reduce((sum, height) => sum + height, 0)
  if (wanted <= roomMm) return [...heights]
  const spare = wanted - heights.length * least
  const kept = spare > 0 ? Math.max(0, roomMm - heights.length * least) / spare : 0
  return heights.map((height) => least + (height - least) * kept)
}

/** Turns at the same hour stand beside each other: how many lanes a day needs, and in which each turn stands. */
export function lanesOf<T extends Hours>(turns: readonly T[]): T[][] {
  const lanes: T[][] = []
  for (const turn of turns) {
    const free = lanes.find((lane) => lane.at(-1)!.endMinute <= turn.startMinute)
    if (free) free.push(turn)
    else lanes.push([turn])
  }
  return lanes
}
