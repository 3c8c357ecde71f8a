import type { Database } from '../../database/connection.ts'
import { turnsOn } from '../../rotation/published/listed-store.ts'
import { readForm, withError } from '../../web/forms/forms.ts'
import type { Cells } from '../../web/forms/sheet.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { TakeRow } from '../../web/pages/paper-book.ts'
import { SlipForm } from '../draw/forms.ts'
import { listAbstractions } from '../draw/store.ts'
import { type Place, placeOf, worksOn } from '../place/store.ts'
import { drawOfSlip, drawReadAlike } from './known-store.ts'
import { pumpLogRows } from './pump-log.ts'

type SlipRow = NonNullable<ReturnType<typeof readForm<typeof SlipForm.fields>>['data']>

/**
 * Slips that come back from the plots. A slip whose readings are in the book already only adds its number to that draw; one
 * without a draw becomes the draw, of the turn that was planned. Where slip and log differ, a person has to look.
 */
export async function slipRows(desk: Desk): Promise<TakeRow> {
  const { db, format } = desk
  const take = await pumpLogRows(desk)
  const onPage = new Set<number>()
  return async (body) => {
    const form = readForm(SlipForm, body)
    if (!form.ok) return { ok: false, form }
    const { slipNo, onDate } = form.data
    const place = placeOf(await worksOn(db, onDate), form.data.place)
    if (!place) return { ok: false, form: withError(form, 'place', 'error.choose') }
    const known = await drawReadAlike(db, form.data, place)
    const carrier = await drawOfSlip(db, slipNo)
    if (onPage.has(slipNo) || (carrier && carrier.id !== known?.id)) {
      const on = format.date(carrier?.onDate ?? onDate)
      return { ok: false, form: withError(form, 'slipNo', 'paper.slip-taken', { number: slipNo, on }) }
    }
    const other = known ? undefined : await drawAtThatTime(form.data, place)
    if (other) {
      const values = { volume: format.toLitre(other.volumeM3) }
      return { ok: false, form: withError(form, 'closing', 'paper.slip-differs', values) }
    }
    const taken = await take(body)
    if (taken.ok) onPage.add(slipNo)
    return taken
  }

  /** What was logged for the same plot at the same outlet and, where both wrote the clock, at the same time. */
  async function drawAtThatTime({ onDate, plotId, startTime, endTime }: SlipRow, { outlet }: Place) {
    const draws = await listAbstractions(db, { fromOn: onDate, toOn: onDate, plotId })
    return draws
      .filter((draw) => draw.outletId === (outlet?.id ?? null))
      .find((draw) => {
        if (startTime === null || endTime === null || draw.startTime === null || draw.endTime === null) return true
        return startTime < draw.endTime && draw.startTime < endTime
      })
  }
}

/** The slips that a day's turns bring back: outlet and plot stand there, number and readings are left to be typed. */
export async function plannedSlips(db: Database, on: string): Promise<Cells[]> {
  return (await turnsOn(db, on)).flatMap(({ outletNumber, plotNumber }) =>
    plotNumber === null ? [] : [{ onDate: on, place: String(outletNumber), plotId: String(plotNumber) }],
  )
}
