import { group } from 'd3-array'
import type { Facts } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { type Sky, timingsOf } from '../../works/flow-test/store.ts'

export const EVENTS = ['late', 'cut', 'leak', 'breakdown'] as const
export type Event = (typeof EVENTS)[number]

/** What a tool showed, where the volume alone would not tell how it came about. */
export interface DrawTool {
  containerLitres: number | null
  tankAreaM2: number | null
  tankRiseM: number | null
  /** A meter that was replaced during the draw: the old one's last reading and the new one's first. */
  oldLastM3: number | null
  newFirstM3: number | null
  newSerial: string | null
  /** Digits of the new one, where they are not as many as before. */
  newDigits: number | null
}

/** What goes with a draw beside its volume; it hangs on the same entry. */
export interface DrawMore {
  sky: Sky | null
  /** Who came in the taker's place, when that person is not in the register. */
  standIn: string | null
  slipNo: number | null
  events: Event[]
  tool: DrawTool | null
  seconds: number[]
}

export const NO_TOOL: DrawTool = {
  containerLitres: null,
  tankAreaM2: null,
  tankRiseM: null,
  oldLastM3: null,
  newFirstM3: null,
  newSerial: null,
  newDigits: null,
}

export function moreRows(more: DrawMore | undefined): Facts {
  if (!more) return {}
  const { sky, standIn, slipNo, events, tool, seconds } = more
  const noted = sky !== null || standIn !== null || slipNo !== null
  return {
    ...(noted ? { draw_note: [{ sky, stand_in: standIn, slip_no: slipNo }] } : {}),
    ...(events.length ? { draw_event: events.map((event) => ({ event })) } : {}),
    ...(tool ? { draw_tool: [toolRow(tool)] } : {}),
    ...(seconds.length ? { bucket_timing: seconds.map((timing, place) => ({ place, seconds: timing })) } : {}),
  }
}

function toolRow(tool: DrawTool) {
  return {
    container_litres: tool.containerLitres,
    tank_area_m2: tool.tankAreaM2,
    tank_rise_m: tool.tankRiseM,
    old_last_m3: tool.oldLastM3,
    new_first_m3: tool.newFirstM3,
    new_serial: tool.newSerial,
  }
}

/** What goes with each of these draws; every id has an answer, even when nothing was noted. */
export async function moreOf(db: Database, ids: readonly string[]): Promise<Map<string, DrawMore>> {
  const among = [...ids]
  const notes = await db.selectFrom('draw_note').selectAll().where('entry_id', 'in', among).execute()
  const tools = await db.selectFrom('draw_tool').selectAll().where('entry_id', 'in', among).execute()
  const meters = await db.selectFrom('pump_meter').selectAll().where('entry_id', 'in', among).execute()
  const events = await db.selectFrom('draw_event').selectAll().where('entry_id', 'in', among).execute()
  const slips = await slipsBack(db, among)
  const timings = await timingsOf(db, among)
  const eventsOf = group(events, (row) => row.entry_id)
  return new Map(
    among.map((id) => {
      const note = notes.find((row) => row.entry_id === id)
      const tool = tools.find((row) => row.entry_id === id)
      const more: DrawMore = {
        sky: (note?.sky ?? null) as Sky | null,
        standIn: note?.stand_in ?? null,
        slipNo: note?.slip_no ?? slips.get(id) ?? null,
        events: EVENTS.filter((event) => eventsOf.get(id)?.some((row) => row.event === event)),
        tool: tool ? toolOf(tool, meters.find((row) => row.entry_id === id)?.digits ?? null) : null,
        seconds: timings.get(id) ?? [],
      }
      return [id, more]
    }),
  )
}

/** Slips that came back for draws that were in the book already. */
async function slipsBack(db: Database, ids: string[]): Promise<Map<string, number>> {
  const rows = await db
    .selectFrom('draw_slip')
    .select(['subject_id', 'slip_no'])
    .where('subject_id', 'in', ids)
    .where(standing('draw_slip'))
    .execute()
  return new Map(rows.map((row) => [row.subject_id, row.slip_no]))
}

function toolOf(row: ReturnType<typeof toolRow>, newDigits: number | null): DrawTool {
  return {
    newDigits,
    containerLitres: row.container_litres,
    tankAreaM2: row.tank_area_m2,
    tankRiseM: row.tank_rise_m,
    oldLastM3: row.old_last_m3,
    newFirstM3: row.new_first_m3,
    newSerial: row.new_serial,
  }
}
