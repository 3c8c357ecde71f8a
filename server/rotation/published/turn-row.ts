import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'

/** A turn as the book keeps it, whether it was published, amended in or booked. */
export function turnRow(id: string, turn: PlannedTurn) {
  return {
    id,
    plotId: turn.plotId,
    outletId: turn.outletId,
    pumpId: turn.pumpId,
    onDate: turn.on,
    startMinute: turn.startMinute,
    endMinute: turn.endMinute,
    volumeM3: turn.volumeM3,
  }
}
