import { DRINKING_FRONTIER, frontierOf } from '../../../domain/water/data/drinking-frontier.ts'
import { CAREFUL, type DrinkingCaution, extraDrinkingWeeks } from '../../../domain/water/path/reserve.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { CautionForm, FETCH_WEEKS } from './forms.ts'
import { type CautionSet, drinkingCautionOn, setDrinkingCaution } from './store.ts'

/** How careful the group is with its drinking water, with what that cost and saved in simulated seasons. */
export function addCautionPages({ get, post }: Pages): void {
  get('/water/settle/drinking-caution', 'water.describe', newCaution)
  post('/water/settle/drinking-caution', 'water.describe', writeCaution)
}

async function newCaution(desk: Desk) {
  const last = await drinkingCautionOn(desk.db, desk.today)
  const typed = { rememberedWeeks: String(last?.rememberedWeeks ?? ''), elsewhere: elsewhereOf(last) }
  return showCaution(desk, emptyForm({ ...typed, fromOn: desk.today }))
}

async function writeCaution(desk: Desk) {
  const form = readForm(CautionForm, desk.body)
  if (!form.ok) return showCaution(desk, form)
  const { rememberedWeeks, elsewhere, fromOn } = form.data
  return write(
    desk,
    (pen) => setDrinkingCaution(pen, { fromOn, rememberedWeeks, fetchWeeks: FETCH_WEEKS[elsewhere] }),
    () => '/water/kept',
  )
}

async function showCaution(desk: Desk, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const said = (await drinkingCautionOn(desk.db, desk.today)) ?? CAREFUL
  const choices = Object.entries(FETCH_WEEKS).map(([choice, fetchWeeks]) => choiceOf(choice, { ...said, fetchWeeks }))
  return page(desk, 'water/users/caution', {
    title: 'water.cautionForm.title',
    form: CautionForm,
    filled,
    action: '/water/settle/drinking-caution',
    submit: 'layout.save',
    choices,
    frontier: DRINKING_FRONTIER,
  })
}

/** What a choice comes to with the latest rain that the group remembers, at a weir that is not only guessed. */
function choiceOf(choice: string, caution: DrinkingCaution) {
  const weeks = extraDrinkingWeeks({ ...caution, grade: 'probed' })
  return { choice, weeks, row: frontierOf(weeks) }
}

/** The careful answer as long as nothing was said. */
function elsewhereOf(caution: CautionSet | null): 'cannot' | 'three-weeks' {
  return caution && caution.fetchWeeks > 0 ? 'three-weeks' : 'cannot'
}
