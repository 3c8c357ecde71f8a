import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { stateOr404 } from '../storage/found.ts'
import { weirOr404 } from '../weir/found.ts'
import type { Weir } from '../weir/store.ts'
import { ChamberForm, RefillForm } from './forms.ts'
import { chamberAreaM2, refillOfLines } from './input.ts'
import { conductanceOf } from './limit.ts'
import { chamberState } from './state.ts'
import { addChamber, addRefillTest, chamberOn } from './store.ts'
import type { Chamber } from './types.ts'

const CAUTIONS = ['water.caution-chamber', 'storage.caution-pump', 'water.caution-flood']

/** The collecting chamber: its measures, its refill tests, and what it gives at today's level. */
export function addChamberPages({ get, post }: Pages): void {
  get('/water/working/chamber/:id', 'water.see', showChamber)
  get('/water/weirs/:id/chamber', 'water.describe', newChamber)
  post('/water/weirs/:id/chamber', 'water.describe', writeChamber)
  get('/water/weirs/:id/refill', 'level.record', newRefillTest)
  post('/water/weirs/:id/refill', 'level.record', writeRefillTest)
}

async function showChamber(desk: Desk<'id'>) {
  const state = await stateOr404(desk)
  const { chamber, tests, test, limit, pumps } = await chamberState(desk.db, state)
  return page(desk, 'water/chamber/page', {
    title: 'storage.chamber.title',
    titleValues: { number: state.weir.number },
    state,
    chamber,
    test,
    tests: tests.toReversed().map((one) => ({ ...one, refill: conductanceOf(one) })),
    limit,
    pumps,
    cautions: CAUTIONS,
  })
}

async function newChamber(desk: Desk<'id'>) {
  const { weir } = await stateOr404(desk)
  return showChamberForm(desk, weir, emptyForm({ fromOn: desk.today }))
}

async function writeChamber(desk: Desk<'id'>) {
  const { weir } = await stateOr404(desk)
  const form = readForm(ChamberForm, desk.body)
  if (!form.ok) return showChamberForm(desk, weir, form)
  const { depth, rimAboveCrest, stopBelowRim, fromOn } = form.data
  if (stopBelowRim >= depth * 100)
    return showChamberForm(
      desk,
      weir,
      withError(form, 'stopBelowRim', 'storage.error.stop-below-floor', { depth: depth * 100 }),
    )
  if (fromOn > desk.today) return showChamberForm(desk, weir, withError(form, 'fromOn', 'storage.error.chamber-future'))
  const areaM2 = chamberAreaM2(form.data)
  const measures = { areaM2, depthM: depth, rimAboveCrestM: rimAboveCrest, stopBelowRimCm: stopBelowRim }
  return write(
    desk,
    (pen) => addChamber(pen, { weirId: weir.id, fromOn, ...measures }),
    () => `/water/working/chamber/${weir.id}`,
  )
}

async function newRefillTest(desk: Desk<'id'>) {
  const { weir } = await testable(desk, desk.today)
  return showRefill(desk, weir, emptyForm({ testedOn: desk.today }))
}

async function writeRefillTest(desk: Desk<'id'>) {
  const form = readForm(RefillForm, desk.body)
  const { weir, chamber } = await testable(desk, desk.today)
  if (!form.ok) return showRefill(desk, weir, form)
  const { testedOn, rest, remark } = form.data
  if (testedOn > desk.today) return showRefill(desk, weir, withError(form, 'testedOn', 'storage.error.test-future'))
  const read = refillOfLines(form.data.readings, { restCm: rest, form })
  if ('problem' in read) return showRefill(desk, weir, read.problem)
  const { areaM2 } = (await chamberOn(desk.db, weir.id, testedOn)) ?? chamber
  return write(
    desk,
    (pen) =>
      addRefillTest(pen, {
        weirId: weir.id,
        testedOn,
        areaM2,
        restBelowRimCm: rest,
        remark,
        readings: read.readings,
      }),
    () => `/water/working/chamber/${weir.id}`,
  )
}

/** Without the chamber's area a test says nothing. */
async function testable(desk: Desk<'id'>, on: string): Promise<{ weir: Weir; chamber: Chamber }> {
  const weir = await weirOr404(desk)
  const chamber = await chamberOn(desk.db, weir.id, on)
  if (!chamber) throw new PageError(409, 'storage.chamber.first')
  return { weir, chamber }
}

function showChamberForm(desk: Desk, weir: Weir, filled: Filled) {
  return formPage(desk, {
    title: 'storage.chamberForm.title',
    titleValues: { number: weir.number },
    form: ChamberForm,
    filled,
    action: `/water/weirs/${weir.id}/chamber`,
    intro: ['storage.chamberForm.intro'],
    cautions: CAUTIONS,
    back: `/water/working/chamber/${weir.id}`,
  })
}

function showRefill(desk: Desk, weir: Weir, filled: Filled) {
  return formPage(desk, {
    title: 'storage.refill.title',
    titleValues: { number: weir.number },
    form: RefillForm,
    filled,
    action: `/water/weirs/${weir.id}/refill`,
    intro: ['storage.refill.intro', 'storage.refill.intro-when'],
    cautions: CAUTIONS,
    back: `/water/working/chamber/${weir.id}`,
  })
}
