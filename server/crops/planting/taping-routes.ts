import { tapedArea } from '../../../domain/crops/planting/taped-area.ts'
import { InputError } from '../../../domain/input-error.ts'
import { write } from '../../book/pen.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { plotInWords } from '../plan/words.ts'
import { TapingForm } from './forms.ts'
import { addTaping, tapings } from './store.ts'

/** The area of a plot from its sides and a diagonal. */
export function addTapingPages({ get, post }: Pages): void {
  get('/crops/tape', 'crops.declare', newTaping)
  post('/crops/tape', 'crops.declare', writeTaping)
  get('/crops/lines/tape/:id', 'crops.see', showTaping)
}

async function newTaping(desk: Desk) {
  return show(desk, emptyForm({ plotId: desk.query.plotId ?? '', tapedOn: desk.today }))
}

async function writeTaping(desk: Desk) {
  const form = readForm(TapingForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { plotId, tapedOn, sideA, sideB, sideC, sideD, diagonal } = form.data
  const sidesM: [number, number, number, number] = [sideA, sideB, sideC, sideD]
  if (tapedOn > desk.today) return show(desk, withError(form, 'tapedOn', 'crops.wrong.day-to-come'))
  if (!(await listPlots(desk.db, desk.today)).some((plot) => plot.id === plotId)) {
    return show(desk, withError(form, 'plotId', 'error.choose'))
  }
  try {
    tapedArea({ sidesM, ...(diagonal === null ? {} : { diagonalM: diagonal }) })
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return show(desk, withError(form, 'diagonal', `planting.wrong.${error.code}`, error.values))
  }
  return write(
    desk,
    (pen) => addTaping(pen, { plotId, tapedOn, sidesM, diagonalM: diagonal }),
    (id) => `/crops/lines/tape/${id}`,
  )
}

async function showTaping(desk: Desk<'id'>) {
  const { locale, format: f, today } = desk
  const { t } = locale
  const taping = found((await tapings(desk.db)).find((one) => one.id === desk.params.id))
  const plot = found((await listPlots(desk.db, today)).find((one) => one.id === taping.plotId))
  const { sidesM, diagonalM, tapedOn } = taping
  const taped = tapedArea({ sidesM, ...(diagonalM === null ? {} : { diagonalM }) })
  const doubt = taped.cornerDeg === null ? 'no-diagonal' : taped.rightAngleDoubted ? 'doubted' : 'square'
  const error = taped.areaM2 * taped.errorFraction
  return workingPage(desk, {
    title: 'planting.taping.heading',
    titleValues: { number: plot.number, name: plot.name },
    result: t('planting.taping.result', {
      area: f.whole(taped.areaM2),
      low: f.whole(taped.areaM2 - error),
      high: f.whole(taped.areaM2 + error),
      written: plot.isAreaKnown ? f.whole(plot.areaM2) : '–',
    }),
    doubt: t(`planting.taping.${doubt}`, {
      corner: f.whole(taped.cornerDeg ?? 0),
      product: f.whole(((sidesM[0] + sidesM[2]) / 2) * ((sidesM[1] + sidesM[3]) / 2)),
    }),
    lines: [
      ...sidesM.map((sideM, at) => ({
        label: t(`planting.taping.side${'ABCD'[at]}`),
        value: `${f.one(sideM)} m`,
        date: tapedOn,
      })),
      ...(diagonalM === null ? [] : [{ label: t('planting.taping.diagonal'), value: `${f.one(diagonalM)} m` }]),
    ],
    equation: t(diagonalM === null ? 'planting.taping.equation-sides' : 'planting.taping.equation'),
    source: t('planting.taping.source'),
    back: '/crops/planting',
  })
}

async function show(desk: Desk, filled: Filled) {
  const { today } = desk
  const plots = (await listPlots(desk.db, today)).map((plot) => ({ value: plot.id, label: plotInWords(desk, plot) }))
  return formPage(desk, {
    title: 'planting.taping.title',
    intro: ['planting.taping.intro'],
    form: TapingForm,
    filled,
    options: { plotId: plots },
    action: '/crops/tape',
    back: '/crops/planting',
  })
}
