import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'

/** A turn as the book keeps it, whether it was published, amended in or booked. */
export function turnRow(id: string, turn: PlannedTurn) {
  return {
    id,
    plot_id: turn.plotId,
    outlet_id: turn.outletId,
    pump_id: turn.pumpId,
    on_date: turn.on,
    start_minute: turn.startMinute,
    end_minute: turn.endMinute,
    volume_m3: turn.volumeM3,
  }
}
