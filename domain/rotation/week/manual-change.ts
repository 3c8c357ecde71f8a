import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { M3 } from '../../units.ts'

export type ManualKind = 'move' | 'lengthen' | 'drop' | 'add'

/** One change that the committee made to a week's turns by hand, with who and why. */
export interface ManualChange {
  /** Its entry in the book. */
  id: string
  kind: ManualKind
  plotId: Id<'plot'>
  outletId: Id<'outlet'>
  /** The day of the turn that is changed; null for a turn that is added. */
  wasOn: CalendarDate | null
  /** The new day and start; null for a turn that is dropped. */
  on: CalendarDate | null
  startMinute: number | null
  /** The new volume; null where it stays. */
  volumeM3: M3 | null
  byName: string
  byId: string
  at: string
  reason: string
  /** The second name, which a change to an officer's own turn needs. */
  approvedByName: string | null
}

/** A limit of the week that a change by hand breaks; the committee is told and decides. */
export interface ManualWarning {
  code: string
  values: Record<string, string | number>
}

/**
 * What cannot be: the turn is not in the week any more, the outlet or the day is none of the week's, the plot has a turn
 * there on that day already, or neither the flow nor the tank carries it beside the other turns.
 */
export type ManualRefusal = 'no-such-turn' | 'not-in-week' | 'turn-there-already' | 'beyond-flow' | 'beyond-tank'

export type NewManualChange = Pick<
  ManualChange,
  'kind' | 'plotId' | 'outletId' | 'wasOn' | 'on' | 'startMinute' | 'volumeM3' | 'reason'
>
