import { write } from '../../book/pen.ts'
import { findTurn, type PlannedTurn } from '../../rotation/published/listed-store.ts'
import { turnInBook } from '../../rotation/published/turn-store.ts'
import { addTurnStart } from '../../rotation/turn-start/store.ts'
import { number, seldom, tick } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { LARGEST_READING_M3 } from '../draw/forms.ts'
import { lastClosing } from '../draw/meter-store.ts'
import { otherwiseOf } from './otherwise.ts'

const TurnStartForm = defineForm('abstractions.start', {
  meterM3: number({ min: 0, max: LARGEST_READING_M3 }),
  asRead: seldom(tick()),
})

/** What the meter shows when a turn begins, so that everybody can see at which reading it ends. */
export function addTurnStartPages({ get, post }: Pages): void {
  get('/log/turns/:id?as=start', 'abstraction.log', newStart)
  post('/log/turns/:id?as=start', 'abstraction.log', writeStart)
}

async function newStart(desk: Desk<'id'>) {
  return show(desk, await meteredTurn(desk), emptyForm())
}

async function writeStart(desk: Desk<'id'>) {
  const turn = await meteredTurn(desk)
  if (turn.onDate !== desk.today) throw new PageError(409, 'abstractions.start.other-day')
  const form = readForm(TurnStartForm, desk.body)
  if (!form.ok) return show(desk, turn, form)
  const { meterM3, asRead } = form.data
  const last = await lastClosing(desk.db, turn.pumpId)
  const ranBack = last !== undefined && meterM3 < last.closingM3
  if (ranBack && !asRead) return show(desk, turn, withError(form, 'asRead', 'abstractions.start.below-last'))
  return write(
    desk,
    (pen) => addTurnStart(pen, { turnId: turn.id, meterM3 }),
    () => `/log/days/${turn.onDate}`,
  )
}

/** A turn of the published week that runs past the pump's meter. */
async function meteredTurn({ db, params }: Desk<'id'>): Promise<PlannedTurn> {
  const turn = found(await findTurn(db, params.id))
  found((await tankOutletsOn(db, turn.onDate)).has(turn.outletId) ? undefined : turn)
  return turn
}

async function show(desk: Desk<'id'>, turn: PlannedTurn, filled: Filled) {
  const { db, t, format } = desk
  const last = await lastClosing(db, turn.pumpId)
  const shown = {
    title: turn.plotNumber === null ? 'abstractions.start.title-open' : 'abstractions.start.title',
    titleValues: { plot: turn.plotNumber ?? '', outlet: turn.outletNumber },
    form: TurnStartForm,
    filled,
    action: `/log/turns/${turn.id}?as=start`,
    notes: last
      ? [t('abstractions.start.last', { reading: format.toLitre(last.closingM3), date: format.date(last.onDate) })]
      : [],
    back: `/log/days/${turn.onDate}`,
  }
  const booked = await turnInBook(db, turn.id)
  const otherwise = await otherwiseOf(desk, turn, booked?.turn)
  return formPage(desk, shown, { view: 'abstractions/draw/start', otherwise })
}
