import { mustStand } from '../../book/correction-store.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { StrikeForm } from '../outlook/forms.ts'
import { BucketForm, FloatForm } from './forms.ts'
import { bucketOfInput, floatOfInput, type GaugingInput } from './input.ts'
import { flowOf } from './state.ts'
import { addGauging, type Gauging, listGaugings, strikeGauging } from './store.ts'
import { gaugingWorking } from './working.ts'

const CAUTIONS = ['water.caution-flood']

/** Measuring what flows in the stream, by a float or by a bucket. */
export function addGaugingPages({ get, post }: Pages): void {
  get('/water/stream/flow', 'level.record', newFloatGauging)
  post('/water/stream/flow', 'level.record', writeFloatGauging)
  get('/water/stream/flow?as=bucket', 'level.record', newBucketGauging)
  post('/water/stream/flow?as=bucket', 'level.record', writeBucketGauging)
  get('/water/lines/flow/:id', 'water.see', showGauging)
  post('/water/lines/flow/:id/correct', 'level.record', writeStrike)
}

async function newFloatGauging(desk: Desk) {
  return showFloat(desk, emptyForm({ onDate: desk.today }))
}

async function writeFloatGauging(desk: Desk) {
  const form = readForm(FloatForm, desk.body)
  if (!form.ok) return showFloat(desk, form)
  return take(desk, floatOfInput(form.data, form, desk), showFloat)
}

async function newBucketGauging(desk: Desk) {
  return showBucket(desk, emptyForm({ onDate: desk.today }))
}

async function writeBucketGauging(desk: Desk) {
  const form = readForm(BucketForm, desk.body)
  if (!form.ok) return showBucket(desk, form)
  return take(desk, bucketOfInput(form.data, form, desk), showBucket)
}

async function writeStrike(desk: Desk<'id'>) {
  await mustStand(desk.db, desk.params.id)
  const form = readForm(StrikeForm, desk.body)
  if (!form.ok) return showGauging(desk, form)
  const { id } = await gaugingOr404(desk)
  const { reason } = form.data
  return write(
    desk,
    (pen) => strikeGauging(pen, { id, reason }),
    () => '/water/stream',
  )
}

async function take(desk: Desk, input: GaugingInput, show: typeof showFloat) {
  if ('problem' in input) return show(desk, input.problem)
  return write(
    desk,
    (pen) => addGauging(pen, input.gauging),
    (id) => `/water/lines/flow/${id}`,
  )
}

async function gaugingOr404(desk: Desk<'id'>): Promise<Gauging> {
  const { id } = desk.params
  return found((await listGaugings(desk.db)).find((one) => one.id === id))
}

async function showGauging(desk: Desk<'id'>, filled: Filled = emptyForm()) {
  const gauging = await gaugingOr404(desk)
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'water/stream/gauging', {
    title: 'stream.gauging.heading',
    titleValues: { date: desk.format.date(gauging.onDate) },
    gauging,
    working: gaugingWorking(gauging, flowOf(gauging), desk),
    form: StrikeForm,
    filled,
  })
}

async function showFloat(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'stream.gauging.float',
    form: FloatForm,
    filled,
    action: '/water/stream/flow',
    intro: ['stream.gauging.intro-float'],
    cautions: CAUTIONS,
    back: '/water/stream',
  })
}

async function showBucket(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'stream.gauging.bucket',
    form: BucketForm,
    filled,
    action: '/water/stream/flow?as=bucket',
    intro: ['stream.gauging.intro-bucket'],
    cautions: CAUTIONS,
    back: '/water/stream',
  })
}
