import type { M3 } from '../../../domain/units.ts'
import { mustStand } from '../../book/correction-store.ts'
import { holdersOf } from '../../book/names/household.ts'
import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { vesselsOn } from '../../people/measure/store.ts'
import { findTurn } from '../../rotation/published/listed-store.ts'
import { emptyForm, type Filled, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { drawForm, readDraw } from '../draw/forms.ts'
import { type DrawInput, drawOfInput, drawStandingOn, withStart } from '../draw/input.ts'
import { type DrawMore, moreOf } from '../draw/more-store.ts'
import { drawPage, methodOf } from '../draw/pages.ts'
import {
  type Abstraction,
  addAbstraction,
  findAbstraction,
  type NewAbstraction,
  strikeAbstraction,
} from '../draw/store.ts'
import { unloggedTurnOf } from '../draw/turn-store.ts'
import { typedOf } from '../draw/typed.ts'
import type { Way } from '../draw/types.ts'
import { type Place, placeOf, placeOfDraw, worksOn } from '../place/store.ts'

/** A correction is a new entry that names the old one; both stay in the book. */
export function addCorrectionPages({ get, post }: Pages): void {
  get('/log/lines/drawn/:id/correct', 'abstraction.log', newCorrection)
  post('/log/lines/drawn/:id/correct', 'abstraction.log', writeCorrection)
}

async function newCorrection(desk: Desk<'id'>) {
  const old = await standingOr409(desk)
  const more = (await moreOf(desk.db, [old.id])).get(old.id)!
  const method = methodOf(desk.query.method ?? wayOf(old, more))
  const { opening, closing } = desk.query
  const likely = { ...(opening && { opening, startUnread: '' }), ...(closing && { closing }) }
  return show(desk, { old, method, filled: emptyForm({ ...typedOf(old, more, desk.format.canLitres), ...likely }) })
}

async function writeCorrection(desk: Desk<'id'>) {
  const old = await standingOr409(desk)
  const method = methodOf((desk.body as Record<string, unknown>).method)
  const form = readDraw(formOf(old, method), desk.body)
  const reason = String(form.values.reason ?? '')
  const again = (filled: Filled) => show(desk, { old, method, filled })
  // The other fields of an entry that is struck out do not matter any more.
  if (form.values.strike && !form.errors.reason)
    return (await isOwnDraw(desk, old))
      ? again(withError(form, 'strike', 'names.own-matter'))
      : strikeOut(desk, old, reason)
  if (!form.ok) return again(form)
  const read = await corrected(desk, { old, method, form })
  if (!read.ok) return again(read.form)
  const next = await nextMended(desk, { old, closingM3: read.drawn.closingM3, reason })
  if ((await favoursOwn(desk, old, read.drawn)) || (next && (await favoursOwn(desk, next.old, next.drawn))))
    return again(withError(form, 'reason', 'names.own-matter'))
  return write(
    desk,
    async (pen) => {
      await mustStand(pen.trx, old.id)
      await addAbstraction(pen, read.drawn, { ...read.head, correctsId: old.id, reason })
      if (next) await addAbstraction(pen, next.drawn, { ...next.head, correctsId: next.old.id, reason })
    },
    (id) => `/log/lines/drawn/${id}`,
  )
}

/** What the own household drew is made less, moved to another plot or day, or charged to others by another officer alone. */
async function favoursOwn(desk: Desk, old: Abstraction, drawn: NewAbstraction): Promise<boolean> {
  if (!(await isOwnDraw(desk, old))) return false
  const { volumeM3, plotId, onDate, takerId } = drawn
  const othersPay = takerId !== old.takerId && (takerId === null || !(await isOwnMatter(desk, [takerId])))
  return volumeM3 < old.volumeM3 || plotId !== old.plotId || onDate !== old.onDate || othersPay
}

async function isOwnDraw(desk: Desk, { plotId, takerId, onDate }: Abstraction): Promise<boolean> {
  const holders = plotId === null ? [] : await holdersOf(desk.db, plotId, onDate)
  return isOwnMatter(desk, takerId === null ? holders : [...holders, takerId])
}

/** A start that nobody read stood on the closing that is mended now: one correction mends both lines. */
async function nextMended(
  desk: Desk,
  { old, closingM3, reason }: { old: Abstraction; closingM3: M3 | null; reason: string },
) {
  const standsOn = await drawStandingOn(desk.db, old)
  if (!standsOn || closingM3 === null || closingM3 === old.closingM3) return null
  const next = found(await findAbstraction(desk.db, standsOn.id))
  const more = (await moreOf(desk.db, [next.id])).get(next.id)!
  const method = wayOf(next, more)
  const typed = {
    ...typedOf(next, more, desk.format.canLitres),
    method,
    reason,
    opening: String(closingM3),
    startUnread: '',
  }
  const form = readDraw(formOf(next, method), typed)
  const read = form.ok ? await corrected(desk, { old: next, method, form }) : null
  if (!read?.ok) return null
  const drawn = { ...read.drawn, more: { ...read.drawn.more!, startUnread: true } }
  return { old: next, drawn, head: read.head }
}

async function strikeOut(desk: Desk, old: Abstraction, reason: string) {
  return write(
    desk,
    async (pen) => {
      await mustStand(pen.trx, old.id)
      await strikeAbstraction(pen, { correctsId: old.id, reason })
    },
    () => `/log/lines/drawn/${old.id}`,
  )
}

async function standingOr409({ db, params }: Desk<'id'>): Promise<Abstraction> {
  const drawn = found(await findAbstraction(db, params.id))
  await mustStand(db, drawn.id)
  return drawn
}

interface Corrected {
  old: Abstraction
  method: Way
  form: Extract<ReturnType<typeof readDraw>, { ok: true }>
}

async function corrected(desk: Desk, { old, method, form }: Corrected): Promise<DrawInput> {
  const { db, timeZone, today, at } = desk
  const { canLitres } = desk.format
  const works = await worksOn(db, form.data.onDate)
  const found = old.turnId === null ? placeOf(works, form.data.place!) : placeOfDraw(works, old)
  if (!found) return { ok: false, form: withError(form, 'place', 'error.choose') }
  const isSame = found.outlet?.id === old.outletId && form.data.onDate === old.onDate
  const place = { ...found, reckonedBy: isSame ? reckonedBy(old) : null }
  const started = await withStart(desk, form, { pumpId: place.pump?.id ?? null, method, oldId: old.id })
  if (!started.ok) return { ok: false, form: started }
  const plotId = form.data.plotId ?? old.plotId
  const { onDate } = form.data
  const plan =
    old.turnId === null
      ? await unloggedTurnOf(db, { onDate, plotId, outletId: place.outlet?.id ?? null })
      : await findTurn(db, old.turnId)
  const vessels = await vesselsOn(db, onDate)
  const counts = { canLitres, vessels }
  return drawOfInput(started, { use: old.use, method, place, plotId, plan, timeZone, ...counts, today, at, old })
}

/** The hours of a line count by the flow of its writing: a test or a bucket of later, by whoever would have less, makes no water of before less. */
function reckonedBy({ method, flowM3PerH, volumeM3, uncertaintyM3 }: Abstraction): Place['reckonedBy'] {
  if (method !== 'hours' || flowM3PerH === null || volumeM3 === 0) return null
  return { flowM3PerH, flowErrorFraction: uncertaintyM3 / volumeM3 }
}

async function show(desk: Desk, { old, method, filled }: { old: Abstraction; method: Way; filled: Filled }) {
  const { t, format } = desk
  const was = t('abstractions.correction.was-line', {
    volume: format.toLitre(old.volumeM3),
    date: format.date(old.onDate),
    writer: old.writerName,
  })
  return drawPage(desk, {
    title: 'abstractions.correction.title',
    form: formOf(old, method),
    filled,
    method,
    action: `/log/lines/drawn/${old.id}/correct`,
    self: `/log/lines/drawn/${old.id}/correct`,
    facts: [[t('abstractions.correction.was'), was]],
    notes: [
      t('abstractions.correction.note'),
      ...(method === 'hours' && reckonedBy(old)
        ? [t('abstractions.correction.flow-kept', { flow: format.one(old.flowM3PerH!) })]
        : []),
      ...((await drawStandingOn(desk.db, old)) ? [t('abstractions.correction.next-too')] : []),
    ],
    submit: 'abstractions.correction.submit',
    back: `/log/lines/drawn/${old.id}`,
  })
}

function formOf(old: Abstraction, method: Way) {
  return drawForm({ method, ofTurn: old.turnId !== null, forPlot: old.use === 'irrigation', corrects: true })
}

/** The way in which an entry was asked for. */
function wayOf(old: Abstraction, { tool }: DrawMore): Way {
  return old.method === 'meter' && tool?.oldLastM3 != null ? 'replaced' : old.method
}
