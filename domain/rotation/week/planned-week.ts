import type { Allocation, AllocationInput } from '../allocation/types.ts'
import type { HandRefusal, HandWarning } from '../manual-change/types.ts'
import type { PlannedShare } from '../share/planned-shares.ts'
import type { PlannedTurn, TankFill, TimetableNote, UnplacedVolume } from '../timetable/types.ts'

export interface PlannedWeek {
  shares: PlannedShare[]
  drinking: { weirId: string; neededM3: number; allocatedM3: number }[]
  leftM3ByWeir: Record<string, number>
  turns: PlannedTurn[]
  /** How the raised tanks are filled for the gravity turns; missing where there is no tank. */
  fills?: TankFill[]
  unplaced: UnplacedVolume[]
  notes: TimetableNote[]
  /** What the allocation was last run with and gave, for the judges and for whoever reckons it again. */
  allocationInput: AllocationInput
  allocation: Allocation
  /** What the committee's hand made of it; missing where nothing was changed. */
  hand?: HandOutcome
}

/** The week before the hand touched it. */
export type Reckoned = Pick<PlannedWeek, 'turns' | 'fills' | 'notes' | 'shares' | 'leftM3ByWeir'>

/** Changes that could be laid into the week, and those that could not, with the reason. */
export interface HandOutcome {
  reckoned: Reckoned
  applied: { changeId: string; turnId: string | null }[]
  refused: { changeId: string; reason: HandRefusal }[]
  warnings: HandWarning[]
  /** Plots whose volume is another one now. */
  changedPlotIds: string[]
}
