import { group } from 'd3-array'
import type { TypedVolume } from '../../../domain/people/measure.ts'
import type { Litres, M3 } from '../../../domain/units.ts'
import type { Facts } from '../../book/entries.ts'
import { askTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { type Sky, timingRows } from '../../works/flow-test/store.ts'

export const EVENTS = ['late', 'cut', 'leak', 'breakdown'] as const
export type Event = (typeof EVENTS)[number]

/** What a tool showed, where the volume alone would not tell how it came about. */
export interface DrawTool {
  containerLitres: Litres | null
  tankAreaM2: number | null
  tankRiseM: number | null
  /** A meter that was replaced during the draw: the old one's last reading and the new one's first. */
  oldLastM3: M3 | null
  newFirstM3: M3 | null
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
  /** The start was not read, so the last closing stands in; null where nobody said. */
  startUnread?: boolean | null
  events: Event[]
  tool: DrawTool | null
  seconds: number[]
  /** How a count of the group's own vessels was typed. */
  typed?: TypedVolume & { unit: string }
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
  const { sky, standIn, slipNo, startUnread = null, events, tool, seconds, typed } = more
  const noted = sky !== null || standIn !== null || slipNo !== null || startUnread !== null
  return {
    ...(noted
      ? { drawNote: [{ sky, standIn, slipNo, startUnread: startUnread === null ? null : Number(startUnread) }] }
      : {}),
    ...(events.length ? { drawEvent: events.map((event) => ({ event })) } : {}),
    ...(tool ? { drawTool: [toolRow(tool)] } : {}),
    ...(typed ? { typedVolume: [typed] } : {}),
    ...(seconds.length ? { bucketTiming: seconds.map((timing, place) => ({ place, seconds: timing })) } : {}),
  }
}

function toolRow(tool: DrawTool) {
  return {
    containerLitres: tool.containerLitres,
    tankAreaM2: tool.tankAreaM2,
    tankRiseM: tool.tankRiseM,
    oldLastM3: tool.oldLastM3,
    newFirstM3: tool.newFirstM3,
    newSerial: tool.newSerial,
  }
}

/** What goes with each of these draws; every id has an answer, even when nothing was noted. */
export async function moreOf(db: Database, ids: readonly string[]): Promise<Map<string, DrawMore>> {
  if (ids.length === 0) return new Map()
  const among = [...ids]
  const [notes, tools, meters, events, slips, timings] = await askTogether(
    db,
    db.selectFrom('drawNote').selectAll().where('entryId', 'in', among),
    db.selectFrom('drawTool').selectAll().where('entryId', 'in', among),
    db.selectFrom('pumpMeter').selectAll().where('entryId', 'in', among),
    db.selectFrom('drawEvent').selectAll().where('entryId', 'in', among),
    slipsBack(db, among),
    timingRows(db, among),
  )
  const eventsOf = group(events, (row) => row.entryId)
  const timingsOf = group(timings, (row) => row.entryId)
  const slipOf = new Map(slips.map((row) => [row.subjectId, row.slipNo]))
  const noteOf = new Map(notes.map((row) => [row.entryId, row]))
  const toolIn = new Map(tools.map((row) => [row.entryId, row]))
  const meterOf = new Map(meters.map((row) => [row.entryId, row]))
  return new Map(
    among.map((id) => {
      const note = noteOf.get(id)
      const tool = toolIn.get(id)
      const more: DrawMore = {
        sky: (note?.sky ?? null) as Sky | null,
        standIn: note?.standIn ?? null,
        slipNo: note?.slipNo ?? slipOf.get(id) ?? null,
        startUnread: note?.startUnread == null ? null : note.startUnread === 1,
        events: EVENTS.filter((event) => eventsOf.get(id)?.some((row) => row.event === event)),
        tool: tool ? toolOf(tool, meterOf.get(id)?.digits ?? null) : null,
        seconds: (timingsOf.get(id) ?? []).map(({ seconds }) => seconds),
      }
      return [id, more]
    }),
  )
}

/** Slips that came back for draws that were in the book already. */
function slipsBack(db: Database, ids: string[]) {
  return db
    .selectFrom('drawSlip')
    .select(['subjectId', 'slipNo'])
    .where('subjectId', 'in', ids)
    .where(standing('drawSlip'))
}

function toolOf(row: ReturnType<typeof toolRow>, newDigits: number | null): DrawTool {
  return {
    newDigits,
    containerLitres: row.containerLitres,
    tankAreaM2: row.tankAreaM2,
    tankRiseM: row.tankRiseM,
    oldLastM3: row.oldLastM3,
    newFirstM3: row.newFirstM3,
    newSerial: row.newSerial,
  }
}
