import type { Allocation, AllocationInput, Bottleneck } from '../allocation/types.ts'
import type { PlotClass } from '../rule/types.ts'
import type { PlannedTurn, TankFill, TimetableNote, UnplacedVolume } from '../timetable/types.ts'
import type { ManualRefusal, ManualWarning } from './manual-change.ts'

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
  hand?: ManualOutcome
}

/** The week before the hand touched it. */
type Reckoned = Pick<PlannedWeek, 'turns' | 'fills' | 'notes' | 'shares' | 'leftM3ByWeir'>

/** Changes that could be laid into the week, and those that could not, with the reason. */
interface ManualOutcome {
  reckoned: Reckoned
  applied: { changeId: string; turnId: string | null }[]
  refused: { changeId: string; reason: ManualRefusal }[]
  warnings: ManualWarning[]
  /** Plots whose volume is another one now. */
  changedPlotIds: string[]
}

/** What stopped a share: a limit of the network, the hours of the week, or the cap of a declared stage. */
export type HeldBy = Bottleneck | { kind: 'hours' } | { kind: 'stage' }

/** One plot's line of the week: from its need to its water, with what held it. */
export interface PlannedShare {
  plotId: string
  needM3: number
  /** The need that counted; less than the need where a declared stage caps a class. */
  countedM3: number
  requestedM3: number | null
  /** Of this week's water alone. */
  weekEntitledM3: number
  /** Of the season so far and this week. */
  entitledM3: number
  receivedM3: number
  /** Made good under a rule that looks at one week alone. */
  carryOverM3: number
  allocatedM3: number
  level: number | null
  heldBy: HeldBy
  isProtected: boolean
  byClass: { class: PlotClass; needM3: number; countedM3: number; minimumM3: number; allocatedM3: number }[]
}
