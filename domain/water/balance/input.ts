import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { M3 } from '../../units.ts'
import type { WeirLoss } from '../loss/loss.ts'
import type { SandBody } from '../sand/body.ts'

/** Without a mark of the group's own: a day with more rain than this, mm, may have brought water. Common practice, no source. */
export const USUAL_RAIN_MARK_MM = 10

export interface BalanceReading {
  /** Read at dawn: what is drawn on this day belongs to the stretch that begins with it. */
  readOn: CalendarDate
  waterLevelM: number
  levelErrorCm: number
  /** Whether water was seen flowing into the weir. */
  flowNoted: boolean
}

export interface BalanceWeir {
  weirId: Id<'weir'>
  feedsWeirId: Id<'weir'> | null
  /** Each description of the sand with the date from which it holds, oldest first. */
  bodies: { fromOn: CalendarDate; body: SandBody }[]
  /** Null when nobody has measured or chosen one; then nothing is counted and every row says so. */
  loss: WeirLoss | null
  /** The chosen part of the loss, 0..1, that reaches the weir below. */
  leakShare: number
  readings: BalanceReading[]
}

export interface BalanceInput {
  weirs: BalanceWeir[]
  /** Every logged draw: turns, stand, trough and off-list, with the error of its measuring. */
  abstractions: { weirId: Id<'weir'>; drawnOn: CalendarDate; volumeM3: M3; errorM3: M3 }[]
  /** Water let over or through a wall and written down; it feeds the weir below. */
  spills: { weirId: Id<'weir'>; spilledOn: CalendarDate; volumeM3: M3 }[]
  /** A row without a weir is for every weir. */
  rain: { fellOn: CalendarDate; rainMm: number; weirId?: Id<'weir'> }[]
  /** A day with more rain than this makes a stretch wet. */
  rainMarkMm: number
}
