import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import { type ReadForm, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { localInstant } from '../../web/pages/visit.ts'
import type { DrawData } from './forms.ts'
import { isMetered } from './input.ts'
import { closingBefore, meterReads, neighboursOf } from './meter-store.ts'
import type { Way } from './types.ts'

type GoodForm = Extract<ReadForm<DrawData>, { ok: true }>

interface Metered {
  pumpId: Id<'pump'> | null
  method: Way
  /** For a correction: the entry that is replaced, which keeps its neighbours. */
  oldId?: string
}

/**
 * The start of a metered draw: as it was read, or the closing before it where somebody said that it was not. One of the two
 * must be there, since a start that opens with the last closing unseen gives the next taker what was drawn in between.
 */
export async function withStart(
  desk: Pick<Desk, 'db' | 'timeZone' | 'at'>,
  form: GoodForm,
  { pumpId, method, oldId }: Metered,
): Promise<ReadForm<DrawData>> {
  if (!isMetered(method)) return form
  const { opening, startUnread } = form.data
  if (opening != null) return startUnread ? withError(form, 'opening', 'abstractions.draw.start-twice') : form
  if (!startUnread) return withError(form, 'opening', 'abstractions.draw.start-missing')
  const before = pumpId && (await closingOf(desk, form.data, { pumpId, oldId }))
  if (before == null) return withError(form, 'opening', 'abstractions.draw.start-unknown')
  return { ...form, data: { ...form.data, opening: before } }
}

async function closingOf(
  { db, timeZone, at }: Pick<Desk, 'db' | 'timeZone' | 'at'>,
  { onDate, startTime, endTime }: DrawData,
  { pumpId, oldId }: { pumpId: Id<'pump'>; oldId?: string | undefined },
): Promise<M3 | undefined> {
  if (oldId !== undefined) return neighboursOf(await meterReads(db, pumpId), oldId).before?.closingM3
  const clock = startTime ?? endTime ?? '23:59'
  const moment = localInstant(onDate, clock, timeZone) ?? at.toISOString()
  return (await closingBefore(db, pumpId, moment))?.closingM3
}

/** The next draw of the pump, where its start is nothing but this draw's closing; it is mended with it. */
export async function drawStandingOn(
  db: Database,
  draw: { id: string; pumpId: Id<'pump'> | null; closingM3: M3 | null },
) {
  if (draw.pumpId === null || draw.closingM3 === null) return null
  const next = neighboursOf(await meterReads(db, draw.pumpId), draw.id).after
  return next?.isDraw && next.startUnread && next.openingM3 === draw.closingM3 ? next : null
}
