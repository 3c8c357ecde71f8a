import { othersPayOwn } from '../../book/names/own-matter.ts'
import type { Database } from '../../database/connection.ts'
import { vesselsOn } from '../../people/measure/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { type PlannedTurn, turnsOn } from '../../rotation/published/listed-store.ts'
import { type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { TakenRow, TakeRow } from '../../web/pages/paper-book.ts'
import { minuteOf } from '../draw/facts.ts'
import { drawForm, PumpLogForm, readDraw } from '../draw/forms.ts'
import { drawOfInput } from '../draw/input.ts'
import { addAbstraction } from '../draw/store.ts'
import type { Use, Way } from '../draw/types.ts'
import { loggedOfTurns } from '../log/store.ts'
import { type Place, placeOf, worksOn } from '../place/store.ts'
import { addSlipOfDraw, drawReadAlike, type KnownDraw } from './known-store.ts'

type LogRow = NonNullable<ReturnType<typeof readForm<typeof PumpLogForm.fields>>['data']>

/** The pump log from paper. A row finds its turn by day, outlet and plot, and goes the same way as one logged at the pump. */
export async function pumpLogRows(desk: Desk): Promise<TakeRow> {
  const { db, timeZone, today, at } = desk
  const { canLitres } = desk.format
  const given = new Set<string>()
  const onPage = new Set<string>()
  const slips = new Map<string, number>()
  return async (body) => {
    const form = readForm(PumpLogForm, body)
    if (!form.ok) return { ok: false, form }
    const way = wayOf(form.data, form)
    if (typeof way !== 'string') return { ok: false, form: way }
    const place = placeOf(await worksOn(db, form.data.onDate), form.data.place)
    if (!place) return { ok: false, form: withError(form, 'place', 'error.choose') }
    const known = onPage.has(readingsOf(form.data, place)) ? 'on-page' : await drawReadAlike(db, form.data, place)
    if (known === 'on-page') return { ok: true, write: null }
    if (known) return knownRow(form, known, slips)
    const plan = await turnOf(db, form.data, place, given)
    const use = form.data.use ?? (plan?.plotId === null ? 'drinking' : 'irrigation')
    const plotId = use === 'irrigation' ? (plan?.plotId ?? (await plotOf(db, form.data, place))) : null
    if (use === 'irrigation' && plotId === null)
      return { ok: false, form: withError(form, 'plotId', 'paper.which-plot') }
    const vessels = await vesselsOn(db, form.data.onDate)
    const setting = { use, method: way, place, plotId, plan, timeZone, canLitres, vessels, today, at }
    const taken = takenRow({ ...body, plotId: plotId ?? '' }, setting)
    if (!taken.ok) return taken
    if (await othersPayOwn(desk, { ...form.data, plotId }))
      return { ok: false, form: withError(form, 'takerId', 'names.own-matter') }
    if (plan) given.add(plan.id)
    if (form.data.opening !== null && form.data.closing !== null) onPage.add(readingsOf(form.data, place))
    return taken
  }
}

function takenRow(body: Record<string, unknown>, setting: Parameters<typeof drawOfInput>[1]): TakenRow {
  const { method, plan, use } = setting
  const shape = drawForm({ method, ofTurn: plan !== undefined, forPlot: use === 'irrigation', corrects: false })
  const form = readDraw(shape, body)
  if (!form.ok) return { ok: false, form }
  const read = drawOfInput(form, setting)
  if (!read.ok) return { ok: false, form: read.form }
  return { ok: true, write: (pen) => addAbstraction(pen, read.drawn, read.head) }
}

/** The draw stands already; only the number of its slip can be new. */
function knownRow(
  { data, ...form }: { data: LogRow } & Filled,
  known: KnownDraw,
  slips: Map<string, number>,
): TakenRow {
  const { slipNo } = data
  const carried = known.slipNo ?? slips.get(known.id) ?? null
  if (slipNo === null || slipNo === carried) return { ok: true, write: null }
  if (carried !== null) {
    return { ok: false, form: withError(form, 'slipNo', 'paper.other-slip', { number: carried }) }
  }
  slips.set(known.id, slipNo)
  return { ok: true, write: (pen) => addSlipOfDraw(pen, known, slipNo) }
}

function readingsOf({ onDate, opening, closing }: LogRow, { pump }: Place): string {
  return [onDate, pump?.id, opening, closing].join(' ')
}

/** The one way of measuring that was written; two in one row leave it open which counts. */
function wayOf({ opening, closing, hours, volume, startTime, endTime }: LogRow, form: Filled): Way | Filled {
  const metered = opening !== null || closing !== null
  const ways = [metered && 'meter', hours !== null && 'hours', volume !== null && 'volume'].filter(Boolean) as Way[]
  if (ways.length > 1) return withError(form, ways[1] === 'hours' ? 'hours' : 'volume', 'paper.two-ways')
  if (ways.length === 1) return ways[0]!
  return startTime !== null && endTime !== null ? 'hours' : withError(form, 'closing', 'paper.not-measured')
}

/** The turn of the day that the row means: at this outlet, for this plot where one is written, and not logged yet. */
async function turnOf(
  db: Database,
  row: LogRow,
  { outlet }: Place,
  given: Set<string>,
): Promise<PlannedTurn | undefined> {
  if (!outlet) return undefined
  const wanted = (turn: PlannedTurn) => {
    const use: Use = turn.plotId === null ? 'drinking' : 'irrigation'
    return turn.outletId === outlet.id && (row.plotId ?? turn.plotId) === turn.plotId && (row.use ?? use) === use
  }
  const open: PlannedTurn[] = []
  for (const turn of (await turnsOn(db, row.onDate)).filter(wanted)) {
    if (!given.has(turn.id) && (await loggedOfTurns(db, [turn.id])).length === 0) open.push(turn)
  }
  const minute = row.startTime === null ? null : minuteOf(row.startTime)
  if (minute === null) return open.length === 1 || row.plotId !== null ? open[0] : undefined
  return open.toSorted((a, b) => Math.abs(a.startMinute - minute) - Math.abs(b.startMinute - minute))[0]
}

/** The plot that was written, else the only one at the outlet. */
async function plotOf(db: Database, row: LogRow, { outlet }: Place): Promise<string | null> {
  if (row.plotId !== null || !outlet) return row.plotId
  const plots = (await listPlots(db, row.onDate)).filter((plot) => plot.outletIds.includes(outlet.id))
  return plots.length === 1 ? plots[0]!.id : null
}
