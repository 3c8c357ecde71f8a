import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { dueInspections, lastInspections, WEIR_PARTS } from '../../../domain/water/inspection.ts'
import { mustStand } from '../../book/correction-store.ts'
import { write } from '../../book/pen.ts'
import { listPersons } from '../../people/person/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { keptFrom, nextOr, type Repeated } from '../../web/pages/another.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { StrikeForm } from '../outlook/forms.ts'
import { listWeirs } from '../weir/store.ts'
import { InspectionForm } from './forms.ts'
import { addInspection, type Inspection, listInspections, strikeInspection } from './store.ts'

const CAUTIONS = ['stream.caution-wall', 'water.caution-chamber', 'water.caution-flood', 'stream.caution-hole']

/** The inspection book: what was found on each part of a weir, what to do, when next. */
export function addInspectionPages({ get, post }: Pages): void {
  get('/water/walls', 'water.see', listAll)
  get('/water/walls/new', 'level.record', newInspection)
  post('/water/walls/new', 'level.record', writeInspection)
  get('/water/lines/wall/:id', 'water.see', showInspection)
  post('/water/lines/wall/:id/correct', 'level.record', writeStrike)
}

async function listAll(desk: Desk) {
  const inspections = await listInspections(desk.db)
  const order = (one: Inspection) => WEIR_PARTS.indexOf(one.part)
  const last = lastInspections(inspections).sort((a, b) => a.weirNumber - b.weirNumber || order(a) - order(b))
  const unseen = (await listWeirs(desk.db)).flatMap((weir) => {
    const parts = WEIR_PARTS.filter((part) => !last.some((one) => one.weirId === weir.id && one.part === part))
    return parts.length > 0 ? [{ weir, parts }] : []
  })
  return page(desk, 'water/inspection/list', {
    title: 'stream.inspection.book',
    last,
    unseen,
    earlier: inspections.filter((one) => !last.includes(one)),
    ...dueInspections({ inspections, today: desk.today }),
    cautions: CAUTIONS,
  })
}

/** A wall is looked at part by part. */
const NEXT_LOOK: Repeated = { path: '/water/walls/new', keeps: ['weirId', 'seenOn', 'inspectorId'] }

async function newInspection(desk: Desk) {
  const { weirId = '', part = '' } = desk.query
  const typed = { weirId, part, seenOn: desk.today, inspectorId: desk.person.id, ...keptFrom(desk, NEXT_LOOK) }
  return show(desk, emptyForm(typed))
}

async function writeInspection(desk: Desk) {
  const form = readForm(InspectionForm, desk.body)
  if (!form.ok) return show(desk, form)
  const problem = await problemOf(desk, form.data, form)
  if (problem) return show(desk, problem)
  return write(
    desk,
    (pen) => addInspection(pen, form.data),
    (id) => nextOr(desk, NEXT_LOOK, `/water/lines/wall/${id}`),
  )
}

async function writeStrike(desk: Desk<'id'>) {
  await mustStand(desk.db, desk.params.id)
  const form = readForm(StrikeForm, desk.body)
  if (!form.ok) return showInspection(desk, form)
  const { id } = await inspectionOr404(desk)
  const { reason } = form.data
  return write(
    desk,
    (pen) => strikeInspection(pen, { id, reason }),
    () => '/water/walls',
  )
}

interface Typed {
  weirId: Id<'weir'>
  seenOn: CalendarDate
  nextOn: CalendarDate | null
  inspectorId: Id<'person'> | null
}

async function problemOf({ db, today }: Desk, { weirId, seenOn, nextOn, inspectorId }: Typed, form: Filled) {
  if (!(await listWeirs(db)).some((weir) => weir.id === weirId)) return withError(form, 'weirId', 'error.choose')
  if (seenOn > today) return withError(form, 'seenOn', 'stream.inspection.future')
  if (nextOn !== null && nextOn <= seenOn) return withError(form, 'nextOn', 'stream.inspection.next-too-early')
  const persons = await listPersons(db)
  const isUnknown = inspectorId !== null && !persons.some((person) => person.id === inspectorId)
  return isUnknown ? withError(form, 'inspectorId', 'error.choose') : null
}

async function inspectionOr404(desk: Desk<'id'>): Promise<Inspection> {
  const { id } = desk.params
  return found((await listInspections(desk.db)).find((one) => one.id === id))
}

async function showInspection(desk: Desk<'id'>, filled: Filled = emptyForm()) {
  const inspection = await inspectionOr404(desk)
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'water/inspection/page', {
    title: 'stream.inspection.heading',
    titleValues: {
      part: desk.t(`stream.inspection.part.${inspection.part}`),
      number: inspection.weirNumber,
      date: desk.format.date(inspection.seenOn),
    },
    inspection,
    form: StrikeForm,
    filled,
    cautions: CAUTIONS,
  })
}

async function show(desk: Desk, filled: Filled) {
  const { t } = desk
  const weirs = (await listWeirs(desk.db)).map((weir) => ({
    value: weir.id,
    label: t('water.weir.heading', { ...weir }),
  }))
  const persons = (await listPersons(desk.db)).map((person) => ({ value: person.id, label: person.name }))
  return formPage(desk, {
    title: 'stream.inspection.title',
    form: InspectionForm,
    filled,
    options: { weirId: weirs, inspectorId: persons },
    action: '/water/walls/new',
    another: true,
    intro: ['stream.inspection.intro', 'stream.inspection.when'],
    cautions: CAUTIONS,
    back: '/water/walls',
  })
}
