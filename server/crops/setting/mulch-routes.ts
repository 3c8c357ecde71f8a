import { write } from '../../book/pen.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { MulchForm } from './forms.ts'
import { setPlotMulch } from './store.ts'

/** Straw or film on the ground of a plot, from a day on. */
export function addMulchPages({ get, post }: Pages): void {
  get('/crops/settle/mulch', 'crops.declare', newMulch)
  post('/crops/settle/mulch', 'crops.declare', writeMulch)
}

async function newMulch(desk: Desk) {
  return show(desk, emptyForm({ plotId: desk.query.plotId ?? '', percent: '100', fromOn: desk.today }))
}

async function writeMulch(desk: Desk) {
  const form = readForm(MulchForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { plotId, kind, percent, fromOn } = form.data
  const plot = (await listPlots(desk.db, fromOn)).find((one) => one.id === plotId)
  if (!plot) return show(desk, withError(form, 'plotId', 'error.choose'))
  return write(
    desk,
    (pen) => setPlotMulch(pen, { plotId: plot.id, fromOn, kind, coverFraction: percent / 100 }),
    () => '/crops/figures',
  )
}

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'setting.mulch.title',
    intro: ['setting.mulch.intro'],
    form: MulchForm,
    filled,
    options: { plotId: (await listPlots(desk.db, desk.today)).map(numberedOption) },
    action: '/crops/settle/mulch',
    back: '/crops/figures',
  })
}
