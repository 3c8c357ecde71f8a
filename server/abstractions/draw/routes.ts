import { isCalendarDate } from '../../../domain/calendar.ts'
import { othersPayOwn } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { vesselsOn } from '../../people/measure/store.ts'
import { emptyForm, type Filled, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { placeOf, worksOn } from '../place/store.ts'
import { drawForm, readDraw } from './forms.ts'
import { drawOfInput, withStart } from './input.ts'
import { drawPage, methodOf } from './pages.ts'
import { addAbstraction } from './store.ts'
import { USES, type Use, type Way } from './types.ts'

/** How each use is usually measured; the others are one tap away. */
const USUAL_METHOD: Record<Use, Way> = {
  irrigation: 'meter',
  drinking: 'volume',
  stock: 'volume',
  flushing: 'hours',
  other: 'meter',
}

/** Draws that are no turn of the week: stand, trough, flushing, off the list. */
export function addDrawPages({ get, post }: Pages): void {
  get('/log/water', 'abstraction.log', newDraw)
  post('/log/water', 'abstraction.log', writeDraw)
}

async function newDraw(desk: Desk) {
  const use = useOf(desk.query.use)
  const method = methodOf(desk.query.method ?? USUAL_METHOD[use])
  return show(desk, { use, method, filled: emptyForm({ onDate: dayAsked(desk), unit: 'jerrycans' }) })
}

/** The day of the page that led here; a day to come has nothing to be logged. */
function dayAsked({ query, today }: Desk): string {
  return query.on && isCalendarDate(query.on) && query.on <= today ? query.on : today
}

async function writeDraw(desk: Desk) {
  const { db, timeZone, today, at } = desk
  const { canLitres } = desk.format
  const body = (desk.body ?? {}) as Record<string, unknown>
  const [use, method] = [useOf(body.use), methodOf(body.method)]
  const form = readDraw(formOf(use, method), body)
  if (!form.ok) return show(desk, { use, method, filled: form })
  const place = placeOf(await worksOn(db, form.data.onDate), form.data.place!)
  if (!place) return show(desk, { use, method, filled: withError(form, 'place', 'error.choose') })
  const started = await withStart(desk, form, { pumpId: place.pump?.id ?? null, method })
  if (!started.ok) return show(desk, { use, method, filled: started })
  const plotId = form.data.plotId ?? null
  const vessels = await vesselsOn(db, form.data.onDate)
  const counts = { canLitres, vessels }
  const read = drawOfInput(started, { use, method, place, plotId, plan: undefined, timeZone, ...counts, today, at })
  if (!read.ok) return show(desk, { use, method, filled: read.form })
  if (await othersPayOwn(desk, read.drawn))
    return show(desk, { use, method, filled: withError(form, 'takerId', 'names.own-matter') })
  return write(
    desk,
    (pen) => addAbstraction(pen, read.drawn, read.head),
    (id) => `/log/lines/drawn/${id}`,
  )
}

async function show(desk: Desk, { use, method, filled }: { use: Use; method: Way; filled: Filled }) {
  return drawPage(desk, {
    title: `abstractions.new.title-${use}`,
    form: formOf(use, method),
    filled,
    method,
    action: '/log/water',
    self: `/log/water?use=${use}`,
    hidden: { use },
    notes: [desk.t(`abstractions.new.note-${use}`)],
    cautions: use === 'drinking' ? ['abstractions.caution-drinking'] : [],
    back: '/log',
  })
}

function formOf(use: Use, method: Way) {
  return drawForm({ method, ofTurn: false, forPlot: use === 'irrigation', corrects: false })
}

function useOf(value: unknown): Use {
  const use = USES.find((one) => one === value)
  if (!use) throw new PageError(404, 'error.page-404')
  return use
}
