import type { Id } from '../../id.ts'
import type { PlotClass } from '../../people/plot-class.ts'
import type { M3 } from '../../units.ts'
import type { Allocation, AllocationInput, Bottleneck } from '../allocation/types.ts'
import type { PlannedTurn, TankFill, TimetableNote, UnplacedVolume } from '../timetable/types.ts'
import type { ManualRefusal, ManualWarning } from './manual-change.ts'

export interface PlannedWeek {
  shares: PlannedShare[]
  drinking: { weirId: Id<'weir'>; neededM3: M3; allocatedM3: M3 }[]
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
  applied: { changeId: string; turnId: Id<'turn'> | null }[]
  refused: { changeId: string; reason: ManualRefusal }[]
  warnings: ManualWarning[]
  /** Plots whose volume is another one now. */
  changedPlotIds: Id<'plot'>[]
}

/** What stopped a share: a limit of the network, the hours of the week, or the cap of a declared stage. */
export type HeldBy = Bottleneck | { kind: 'hours' } | { kind: 'stage' }

/** One plot's line of the week: from its need to its water, with what held it. */
export interface PlannedShare {
  plotId: Id<'plot'>
  needM3: M3
  /** The need that counted; less than the need where a declared stage caps a class. */
  countedM3: M3
  requestedM3: M3 | null
  /** Of this week's water alone. */
  weekEntitledM3: M3
  /** Of the season so far and this week. */
  entitledM3: M3
  receivedM3: M3
  /** Made good under a rule that looks at one week alone. */
  carryOverM3: M3
  allocatedM3: M3
  level: number | null
  heldBy: HeldBy
  isProtected: boolean
  byClass: { class: PlotClass; needM3: M3; countedM3: M3; minimumM3: M3; allocatedM3: M3 }[]
}
