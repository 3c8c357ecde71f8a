import { write } from '../../book/pen.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { FillingForm, LinePositionForm, PairForm } from './forms.ts'
import { setFillingMinutes, setLinePosition, setOutletPair } from './line-store.ts'

/** Places on the line, the minutes until it has filled, and outlets that must not be open at once. */
export function addLinePages({ get, post }: Pages): void {
  get('/works/settle/place-on-line', 'works.describe', newPosition)
  post('/works/settle/place-on-line', 'works.describe', writePosition)
  get('/works/settle/filling', 'works.describe', newFilling)
  post('/works/settle/filling', 'works.describe', writeFilling)
  get('/works/settle/pair', 'works.describe', newPair)
  post('/works/settle/pair', 'works.describe', writePair)
}

async function newPosition(desk: Desk) {
  return showPosition(desk, emptyForm({ fromOn: desk.today }))
}

async function writePosition(desk: Desk) {
  const form = readForm(LinePositionForm, desk.body)
  if (!form.ok) return showPosition(desk, form)
  const { data } = form
  if (!(await listPlots(desk.db, data.fromOn)).some((plot) => plot.id === data.plotId)) {
    return showPosition(desk, withError(form, 'plotId', 'error.choose'))
  }
  return write(
    desk,
    (pen) => setLinePosition(pen, data),
    () => '/works',
  )
}

async function newFilling(desk: Desk) {
  return showFilling(desk, emptyForm({ fromOn: desk.today }))
}

async function writeFilling(desk: Desk) {
  const form = readForm(FillingForm, desk.body)
  if (!form.ok) return showFilling(desk, form)
  if (!(await knowsOutlets(desk, [form.data.outletId]))) {
    return showFilling(desk, withError(form, 'outletId', 'error.choose'))
  }
  return write(
    desk,
    (pen) => setFillingMinutes(pen, form.data),
    () => '/works',
  )
}

async function newPair(desk: Desk) {
  return showPair(desk, emptyForm({ together: 'no', fromOn: desk.today }))
}

async function writePair(desk: Desk) {
  const form = readForm(PairForm, desk.body)
  if (!form.ok) return showPair(desk, form)
  const { outletA, outletB, together, fromOn } = form.data
  if (outletA === outletB) return showPair(desk, withError(form, 'outletB', 'constraint.same-outlet'))
  if (!(await knowsOutlets(desk, [outletA, outletB]))) {
    return showPair(desk, withError(form, 'outletB', 'error.choose'))
  }
  return write(
    desk,
    (pen) => setOutletPair(pen, { outletIds: [outletA, outletB], fromOn, together: together === 'yes' }),
    () => '/works',
  )
}

async function knowsOutlets({ db, today }: Desk, ids: readonly string[]): Promise<boolean> {
  const outlets = await listOutlets(db, today)
  return ids.every((id) => outlets.some((outlet) => outlet.id === id))
}

async function showPosition(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'constraint.line-position-title',
    form: LinePositionForm,
    filled,
    action: '/works/settle/place-on-line',
    options: { plotId: (await listPlots(desk.db, desk.today)).map(numberedOption) },
    intro: ['constraint.line-position-intro'],
    back: '/works',
  })
}

async function showFilling(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'constraint.filling-title',
    form: FillingForm,
    filled,
    action: '/works/settle/filling',
    options: { outletId: (await listOutlets(desk.db, desk.today)).map(numberedOption) },
    intro: ['constraint.filling-intro'],
    back: '/works',
  })
}

async function showPair(desk: Desk, filled: Filled) {
  const outlets = (await listOutlets(desk.db, desk.today)).map(numberedOption)
  return formPage(desk, {
    title: 'constraint.pair-title',
    form: PairForm,
    filled,
    action: '/works/settle/pair',
    options: { outletA: outlets, outletB: outlets },
    intro: ['constraint.pair-intro'],
    back: '/works',
  })
}
