import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
/** The collecting chamber of a weir: the pump draws from it, and the sand fills it through a pipe. */
export interface Chamber {
  id: string
  weirId: Id<'weir'>
  fromOn: CalendarDate
  areaM2: number
  /** Floor below the rim. */
  depthM: number
  rimAboveCrestM: number
  /** Where the pump must stop, so that it never draws air. */
  stopBelowRimCm: number
}

/** How the water came back after pumping stopped; all heights are centimetres from the rim down to the water. */
export interface RefillTest {
  id: string
  weirId: Id<'weir'>
  testedOn: CalendarDate
  /** The chamber's own area at that time. */
  areaM2: number
  restBelowRimCm: number
  remark: string | null
  readings: { minutes: number; belowRimCm: number }[]
}
