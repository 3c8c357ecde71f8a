import { SEDIMENT_YIELDS } from '../../../domain/water/data/specific-yield.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { weirOr404 } from '../weir/found.ts'
import type { Weir } from '../weir/store.ts'
import { listSurveys } from './description-store.ts'
import { MOST_SECTIONS, roomFor, sectionForm } from './section-forms.ts'
import { inputOfDescription, probedSurveyOfInput } from './section-input.ts'
import { addProbedSurvey } from './survey-store.ts'

/** A weir described by lines of probe holes, and its picture. */
export function addSectionPages({ get, post }: Pages): void {
  get('/water/weirs/:id/sand?as=rod', 'water.describe', newSections)
  post('/water/weirs/:id/sand?as=rod', 'water.describe', writeSections)
}

async function newSections(desk: Desk<'id'>) {
  const weir = await weirOr404(desk)
  const last = (await listSurveys(desk.db, weir.id)).at(-1)
  const typed = { ...(last ? inputOfDescription(last) : {}), fromOn: desk.today }
  const room = Math.max(Number(desk.query.room ?? 0), (last?.probed?.sections.length ?? 0) + 1)
  return show(desk, weir, emptyForm(typed), room)
}

async function writeSections(desk: Desk<'id'>) {
  const weir = await weirOr404(desk)
  const room = roomSent(desk.body)
  const form = readForm(sectionForm(room), desk.body)
  if (!form.ok) return show(desk, weir, form, room)
  const read = probedSurveyOfInput(form.data, form, desk.today)
  if ('problem' in read) return show(desk, weir, read.problem, room)
  return write(
    desk,
    (pen) => addProbedSurvey(pen, { weirId: weir.id, ...read.survey }),
    (id) => `/water/lines/sand/${weir.id}/${id}`,
  )
}

/** A form that came with room for many sections is read and shown again with as much. */
function roomSent(body: unknown): number {
  const names = Object.keys((body ?? {}) as object)
  const numbers = names.flatMap((name) => /^section(\d+)Lines$/.exec(name)?.slice(1).map(Number) ?? [])
  return Math.max(0, ...numbers)
}

function show(desk: Desk, weir: Weir, filled: Filled, room: number) {
  const { t } = desk
  const kinds = SEDIMENT_YIELDS.map(({ sediment }) => ({
    value: sediment,
    label: t(`water.weir.sandType.${sediment}`),
  }))
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'water/sand/section-form', {
    title: 'storage.sections.title',
    titleValues: { number: weir.number },
    form: sectionForm(room),
    filled,
    options: { layer1Sand: kinds, layer2Sand: kinds, layer3Sand: kinds },
    action: `/water/weirs/${weir.id}/sand?as=rod`,
    submit: 'layout.save',
    moreRoom: roomFor(room) < MOST_SECTIONS ? roomFor(roomFor(room) + 4) : null,
    cautions: ['water.caution-probing', 'water.caution-flood'],
    weir,
  })
}
