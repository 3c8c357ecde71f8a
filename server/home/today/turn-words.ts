import type { BookedTurn } from '../../rotation/published/turn-store.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** Which outlet and plot a turn is for. */
export function outletOf({ plot, outlet }: BookedTurn) {
  return { plot: plot?.number ?? '', outlet: outlet?.number ?? '' }
}

/** From when to when, how much, and of how many jerrycans. */
export function spanOf({ format }: Desk, turn: BookedTurn) {
  return {
    ...outletOf(turn),
    from: format.clock(turn.startMinute),
    to: format.clock(turn.endMinute),
    volume: format.tenth(turn.volumeM3),
    jerrycans: format.jerrycans(turn.volumeM3),
  }
}
