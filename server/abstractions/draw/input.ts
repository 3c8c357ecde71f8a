import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { Vessel } from '../../../domain/people/measure.ts'
import type { Litres, M3 } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import type { PlannedTurn } from '../../rotation/published/listed-store.ts'
import { type ReadForm, withError, withInputError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { localInstant } from '../../web/pages/visit.ts'
import type { Place } from '../place/store.ts'
import { factsOf } from './facts.ts'
import type { DrawData } from './forms.ts'
import { measure } from './measuring.ts'
import { closingBefore, meterReads, neighboursOf } from './meter-store.ts'
import { type AbstractionHead, clockHours, type NewAbstraction } from './store.ts'
import type { Use, Way } from './types.ts'

interface DrawSetting {
  use: Use
  method: Way
  place: Place
  plotId: Id<'plot'> | null
  plan: PlannedTurn | undefined
  timeZone: string
  canLitres: Litres
  vessels: readonly Vessel[]
  today: string
  at: Date
  /** For a correction: the entry that is replaced; on the same day its moment stays. */
  old?: { onDate: string; happenedAt: Instant } | undefined
}

export type DrawInput =
  | { ok: true; drawn: NewAbstraction; head: AbstractionHead }
  | { ok: false; form: ReadForm<never> }

type GoodForm = Extract<ReadForm<DrawData>, { ok: true }>

/** Makes one draw of what was typed. Only what cannot be is sent back; what is odd is taken and pointed out later. */
export function drawOfInput(form: GoodForm, setting: DrawSetting): DrawInput {
  const { data } = form
  const { place, plan, timeZone, method } = setting
  const problem = dateProblem(form, setting)
  if (problem) return { ok: false, form: problem }
  if (place.tankId && isMetered(method)) {
    return { ok: false, form: withError(form, 'closing', 'tank-turn.no-pump-meter') }
  }
  const facts = factsOf(
    {
      id: '',
      method: method === 'replaced' ? 'meter' : method,
      onDate: data.onDate,
      startTime: data.startTime,
      endTime: data.endTime,
      openingM3: data.opening ?? null,
      closingM3: data.closing ?? null,
      volumeM3: null,
      replaced: method === 'replaced',
    },
    { place, plan, timeZone, writtenAt: setting.at.toISOString() },
  )
  try {
    const hours = clockHours(data.onDate, data.startTime, data.endTime, timeZone)
    const { canLitres, vessels } = setting
    const measured = measure(method, { data, place, facts, clockHours: hours, canLitres, vessels })
    if ('key' in measured) return { ok: false, form: withError(form, measured.field, measured.key) }
    const { onDate, startTime, endTime, takerId, remark, sky, standIn, slipNo, events } = data
    const { tool = null, seconds = [], typed, ...figures } = measured
    const startUnread = isMetered(method) ? (data.startUnread ?? false) : null
    const more = { sky, standIn, slipNo, startUnread, events, tool, seconds, ...(typed ? { typed } : {}) }
    const drawn = { onDate, startTime, endTime, takerId, remark, ...figures, ...whereOf(setting), more }
    return { ok: true, drawn, head: { happenedAt: happenedAt(data, setting), forPersonId: takerId } }
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    // Of a bucket's two figures it is the length of time that people write in ways nobody understands.
    const field = /hours|minutes/.test(error.code) ? 'hours' : MENDING[method]
    return { ok: false, form: withInputError(form, field, error) }
  }
}

/** A draw whose figure comes from the pump's meter. */
export function isMetered(way: Way): boolean {
  return way === 'meter' || way === 'replaced'
}

function whereOf({ use, place, plotId, plan }: DrawSetting) {
  return {
    use,
    plotId,
    weirId: place.weirId,
    pumpId: place.pump?.id ?? null,
    outletId: place.outlet?.id ?? null,
    turnId: plan?.id ?? null,
  }
}

/** A day that has not come cannot have been measured, nor a clock time that the change of the clocks left out. */
function dateProblem(form: GoodForm, { today, timeZone }: DrawSetting): ReadForm<never> | null {
  const { onDate } = form.data
  if (onDate > today) return withError(form, 'onDate', 'abstractions.draw.future')
  for (const field of ['startTime', 'endTime'] as const) {
    const time = form.data[field]
    if (time && localInstant(onDate, time, timeZone) === null) {
      return withError(form, field, 'abstractions.draw.no-such-time')
    }
  }
  return null
}

/** The start, else the end; without either the moment of writing on the same day, and noon for an older day. */
function happenedAt({ onDate, startTime, endTime }: DrawData, setting: DrawSetting): string {
  const clock = startTime ?? endTime
  if (clock) return localInstant(onDate, clock, setting.timeZone)!
  if (setting.old?.onDate === onDate) return setting.old.happenedAt
  const noon = localInstant(onDate, '12:00', setting.timeZone)
  return onDate === setting.today || noon === null ? setting.at.toISOString() : noon
}

/** The field that can mend what the domain refused. */
const MENDING: Record<Way, string> = {
  meter: 'closing',
  replaced: 'closing',
  hours: 'hours',
  volume: 'volume',
  bucket: 'seconds1',
  tank: 'tankRise',
}

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
