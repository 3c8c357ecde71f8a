import { weekEndOn } from '../../../domain/calendar.ts'
import { bookableM3 } from '../../../domain/rotation/draft/claims.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { LateStandstill } from '../draft/closures.ts'
import type { OutcomeCause } from '../outcome/store.ts'
import type { Unsettled } from '../outcome/unsettled.ts'
import type { BookedTurn } from '../published/turn-store.ts'
import { changesShown } from './change-lines.ts'
import { orderOfWeek } from './order-words.ts'
import { heldWords, namedShares, type ShownWeek, turnsByDay } from './view.ts'
import { weekValues } from './words.ts'

export interface Problem {
  key: string
  values: Record<string, string | number>
}

export type ListedTurn = BookedTurn & { missed: OutcomeCause | null }

interface WeekFound {
  weekStartOn: string
  week: ShownWeek | null
  lateFaults: LateStandstill[]
  /** Of a published week, with what later changes brought in. */
  turns: ListedTurn[] | undefined
  unsettled: Unsettled[]
}

/** A draft or a published week with its turns, its water and its shares. */
export function weekPage(desk: Desk, found: WeekFound, problems: Problem[]) {
  const { week, weekStartOn, lateFaults, turns, unsettled } = found
  return {
    title: week?.published ? 'rotation.week-title' : 'rotation.draft-title',
    titleValues: weekValues(desk, weekStartOn),
    weekStartOn,
    week,
    problems,
    lateFaults,
    unsettled,
    over: weekEndOn(weekStartOn) < desk.today,
    days: week ? turnsByDay(week, turns) : [],
    changes: week && changesShown(desk, week, onTheSheet(turns)),
    spareM3: week ? spareByWeir(week.inputs) : {},
    order: week ? orderOfWeek(week.inputs, desk.locale) : '',
    shares: week ? namedShares(week).map((share) => ({ ...share, held: heldWords(week, share) })) : [],
  }
}

/** The sheet that hangs at the board. */
export function sheetPage(desk: Desk, { week, weekStartOn, lateFaults, turns }: WeekFound & { week: ShownWeek }) {
  return {
    title: 'rotation.sheet-title',
    titleValues: weekValues(desk, weekStartOn),
    week,
    days: turnsByDay(week, turns),
    changes: changesShown(desk, week, onTheSheet(turns)),
    lateFaults,
  }
}

function onTheSheet(turns: ListedTurn[] | undefined): BookedTurn[] | undefined {
  return turns?.filter((turn) => !turn.droppedBy && !turn.missed)
}

/** What the rule leaves unbooked of each weir. */
function spareByWeir(inputs: WeekInputs): Record<string, number> {
  return Object.fromEntries(inputs.weirs.map((weir) => [weir.id, weir.releasableM3 - bookableM3(inputs, weir)]))
}
